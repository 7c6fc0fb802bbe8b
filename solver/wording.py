"""How words become a sentence."""


def capital(words: str) -> str:
    """The words with a capital at their beginning, all else as it is."""
    return words[:1].upper() + words[1:]
