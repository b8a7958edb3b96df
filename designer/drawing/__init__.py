"""Views described once as plain strokes, texts and dimensions, for canvas, PDF and SVG."""
