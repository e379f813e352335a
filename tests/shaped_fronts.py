"""Hold pairs of 500 random shaped fronts against their turned-over pieces: the whole of what the tests sample.

Run by hand, from the folder above: python tests/shaped_fronts.py
"""

from test_garment import assert_pair_is_turned_over, shaped_front


def main() -> None:
    """Look at every front; the first that is wrong ends it with its figures."""
    for seed in range(500):
        lap = ("right over left", "left over right")[seed % 2]
        assert_pair_is_turned_over(shaped_front(seed), lap, 18.0, 18.0 if seed % 3 else 15.0)
    print("500 fronts: every mark of the under lap lies on the turned-over piece's own line within 0.01 mm.")


if __name__ == "__main__":
    main()
