"""Sizes of change and of difference that can be compared between tests."""
