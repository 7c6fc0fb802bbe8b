"""The sketch: the linkage on a sheet of paper, drawn to scale and edited by hand."""
