"""A sheet of printed markers that lies in a photo: where they are on paper, and in the picture.

The markers are the open dictionary DICT_4X4_50 that OpenCV brings.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from closures.curve import Point
from closures.errors import DrawingError, to_install
from closures.frozen import frozen
from closures.lengths import format_both

if TYPE_CHECKING:
    from types import ModuleType

SIDE_MM = 24.0
"""A marker's side, its black border with it: six fields of 4 mm."""

FIELDS = 6

PAPERS_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height of the papers that a sheet is printed on (ISO 216; ASME Y14.1)."""

_MARGIN_MM = 12.0
_COLUMNS, _ROWS = 5, 7

# Fewer markers, or all of them on one side, do not tell how the sheet lies.
_FEWEST = 5
_MOST_OFF_MM = 1.0


@frozen
class Marker:
    """One marker on its sheet.

    Attributes:
        number: in the dictionary.
        x_mm, y_mm: its upper left corner on the paper.
    """

    number: int
    x_mm: float
    y_mm: float

    @property
    def corners(self) -> tuple[Point, ...]:
        """Its corners on the paper, from the upper left one clockwise."""
        x, y, s = self.x_mm, self.y_mm, SIDE_MM
        return ((x, y), (x + s, y), (x + s, y + s), (x, y + s))


@frozen
class Found:
    """How a sheet lies in a picture.

    Attributes:
        onto: three rows of three figures that take a place in the picture to mm on the sheet.
        seen: how many markers were seen.
        off_mm: how far their corners lie from where they should be, root of the mean square.
    """

    onto: Any
    seen: int
    off_mm: float


def markers_on(paper: str) -> tuple[Marker, ...]:
    """The markers of a sheet, in a ring along its border."""
    width, height = PAPERS_MM[paper]
    across = (width - 2 * _MARGIN_MM - SIDE_MM) / (_COLUMNS - 1)
    down = (height - 2 * _MARGIN_MM - SIDE_MM) / (_ROWS - 1)
    ring = [(i, j) for j in range(_ROWS) for i in range(_COLUMNS) if i in (0, _COLUMNS - 1) or j in (0, _ROWS - 1)]
    return tuple(Marker(n, _MARGIN_MM + i * across, _MARGIN_MM + j * down) for n, (i, j) in enumerate(ring))


def black_fields(number: int) -> tuple[tuple[int, int], ...]:
    """The fields of a marker that are black, as column and row from its upper left corner.

    Raises:
        DrawingError: the package that brings the markers is not installed.
    """
    cv2 = vision()
    book = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    picture = cv2.aruco.generateImageMarker(book, number, FIELDS)
    return tuple((i, j) for j in range(FIELDS) for i in range(FIELDS) if picture[j, i] == 0)


def find_sheet(grey: Any, paper: str, where: str) -> Found:
    """Find the sheet in a picture.

    Args:
        grey: the picture, a row of figures from 0 to 255 to each line.
        paper: what the sheet is printed on.
        where: the picture's name, for messages.

    Raises:
        DrawingError: too few markers are seen, or they do not lie as on a flat sheet.
    """
    import numpy as np

    cv2 = vision()
    book = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    wanted = cv2.aruco.DetectorParameters()
    wanted.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    corners, numbers, _ = cv2.aruco.ArucoDetector(book, wanted).detectMarkers(grey)
    on_paper = {marker.number: marker for marker in markers_on(paper)}
    seen = [] if numbers is None else [(int(n), c) for n, c in zip(numbers.ravel(), corners, strict=True)]
    seen = [(n, c) for n, c in seen if n in on_paper]
    if len(seen) < _FEWEST:
        raise DrawingError(
            f"{len(seen)} markers of the sheet are seen, and {_FEWEST} at least are needed",
            where=where,
            mend="Take the photo again with the sheet flat, sharp and well lit, its border left free.",
        )
    here = np.concatenate([c.reshape(4, 2) for _, c in seen]).astype(np.float64)
    there = np.array([corner for n, _ in seen for corner in on_paper[n].corners], dtype=np.float64)
    onto, _ = cv2.findHomography(here, there, 0)
    if onto is None:
        raise DrawingError("the markers all lie on one line", where=where, mend="Leave more of the border free.")
    off = float(np.sqrt(np.mean(np.sum((laid(here, onto) - there) ** 2, axis=1))))
    if not off <= _MOST_OFF_MM:
        raise DrawingError(
            f"the markers lie {format_both(off)} from where they should on a flat sheet",
            where=where,
            mend="Was it printed at 100 %, does it lie flat, and is the paper the one named in the plan?",
        )
    return Found(onto, len(seen), off)


def laid(places: Any, onto: Any) -> Any:
    """Take places in a picture to the sheet."""
    import numpy as np

    whole = np.column_stack([places, np.ones(len(places))]) @ onto.T
    return whole[:, :2] / whole[:, 2:]


def vision() -> ModuleType:
    """The library that sees.

    Raises:
        DrawingError: it is not installed.
    """
    try:
        import cv2
    except ImportError as error:
        raise DrawingError(
            f"scans, photos and marker sheets need a package that is not installed ({error.name})",
            mend=to_install("scan"),
        ) from None
    module: ModuleType = cv2
    return module
