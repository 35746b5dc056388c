"""Practice: accuracy by note and pattern, learning, forgetting, tries to a criterion."""
