"""The only package that draws with pyqtgraph."""
