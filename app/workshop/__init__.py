"""Into the workshop: sheets, templates, lists and reports, previewed, printed and written."""
