"""The plan of one real coat: its form and its sheet."""
