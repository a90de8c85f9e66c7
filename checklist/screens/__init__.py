"""What is seen: Textual screens. They translate and show; the walk decides, the record keeps."""
