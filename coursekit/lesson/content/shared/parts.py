"""What the parts of a mix are called."""

PARTS = ("paint", "hardener", "reducer")


def part_words(number: int) -> str:
    """The name of a part of the mix, counted from 0."""
    return PARTS[number] if number < len(PARTS) else f"part {number + 1}"
