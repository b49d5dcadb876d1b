"""The book, changed from the page: checked while it is typed, written so that its files stay readable, undone."""
