"""Energy and effort over the lever's travel."""

from app.curves.view import Curves

__all__ = ["Curves"]
