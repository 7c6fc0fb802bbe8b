"""Values over a pipe: each is a pickle with its length before it."""

from __future__ import annotations

import pickle
import struct
from collections.abc import Iterator
from typing import Any, BinaryIO

_LENGTH = struct.Struct("!Q")


def packed(value: object) -> bytes:
    """A value as bytes that `Splitter` and `read` take apart again."""
    body = pickle.dumps(value, pickle.HIGHEST_PROTOCOL)
    return _LENGTH.pack(len(body)) + body


def read(stream: BinaryIO) -> Any:  # noqa: ANN401  # whatever was sent
    """The next value of a stream; EOFError where the other side has gone."""
    return pickle.loads(_exactly(stream, _LENGTH.unpack(_exactly(stream, _LENGTH.size))[0]))


def _exactly(stream: BinaryIO, count: int) -> bytes:
    found = stream.read(count)
    if len(found) < count:
        raise EOFError
    return found


class Splitter:
    """Puts values together again that arrive in pieces of any size."""

    def __init__(self) -> None:
        self._held = bytearray()

    def feed(self, piece: bytes) -> Iterator[Any]:
        """Take a piece; the values that are whole now."""
        self._held += piece
        while len(self._held) >= _LENGTH.size:
            end = _LENGTH.size + _LENGTH.unpack_from(self._held)[0]
            if len(self._held) < end:
                return
            body = bytes(self._held[_LENGTH.size : end])
            del self._held[:end]
            yield pickle.loads(body)
