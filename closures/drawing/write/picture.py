"""Sheets as pictures for the screen. Nothing else in this package knows CairoSVG."""

from __future__ import annotations

from closures.errors import OutputError


def write_picture(svg: bytes, width_px: int) -> bytes:
    """Render an SVG as PNG.

    Args:
        svg: the file.
        width_px: width of the picture, at least 1; the height follows.

    Returns:
        The PNG.

    Raises:
        OutputError: CairoSVG, or the system library cairo that it needs, is not installed.
    """
    try:
        import cairosvg
    except (ImportError, OSError) as error:
        # Without the system library the import raises OSError, not ImportError.
        raise OutputError(
            f"a picture cannot be made here ({error.__class__.__name__})",
            mend="Install the package CairoSVG and the system library cairo. SVG and PDF need neither.",
        ) from error
    picture: bytes = cairosvg.svg2png(bytestring=svg, output_width=width_px, background_color="white")
    return picture
