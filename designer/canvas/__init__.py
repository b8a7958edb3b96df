"""The drawing sheet on the screen: the document, the two views, handles and snapping."""
