"""PDFium, the library that reads PDFs: only one thread may be inside it at a time."""

from threading import Lock

PDFIUM = Lock()
"""To be held by everybody from opening a document to closing it, or at least during every call."""
