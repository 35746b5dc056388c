"""What was sung against what was asked, note by note."""
