"""What stands on the page: pieces of HTML with their style and script, and the widgets."""
