"""Parts of pages: one form or one list each."""
