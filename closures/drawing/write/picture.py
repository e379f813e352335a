"""Sheets as pictures for the screen. Nothing else in this package knows CairoSVG."""

from __future__ import annotations

from closures.errors import OutputError, to_install


def picture_as(svg: bytes, suffix: str, width_px: int) -> bytes:
    """Give a drawing in the format of a file's name.

    Args:
        svg: the drawing.
        suffix: the end of the name, with its dot.
        width_px: width of a PNG.

    Returns:
        The SVG as it is, or a PNG.

    Raises:
        OutputError: the name ends otherwise, or a PNG cannot be made here.
    """
    if suffix.lower() not in (".svg", ".png"):
        raise OutputError(
            f'"{suffix}" is not a kind of picture', where="--picture", mend="End its name in .svg or .png."
        )
    return svg if suffix.lower() == ".svg" else write_picture(svg, width_px)


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
        missing = "CairoSVG" if isinstance(error, ImportError) else "the system library cairo"
        raise OutputError(
            f"a picture cannot be made here: {missing} is not installed",
            mend=f"{to_install('pictures')} It needs the system library cairo as well; SVG and PDF need neither.",
        ) from error
    picture: bytes = cairosvg.svg2png(bytestring=svg, output_width=width_px, background_color="white")
    return picture
