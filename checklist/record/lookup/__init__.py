"""What saves typing and proves nothing: catalogue and registers."""
