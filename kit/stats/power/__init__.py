"""What a study of a given size could show."""
