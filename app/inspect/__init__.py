"""The pages of the inspector: tables of rows, the form that shows them, one page per part."""
