"""What is said of an id that a drawing does not hold, and of a file that is none of the kind that its name tells."""

import pytest

from closures.edges.opening import open_drawing
from closures.errors import DrawingError
from closures.plan.edge import EdgeWish

SHAPES = "".join(f'<circle id="a{n}" cx="{n}" cy="1" r="1"/>' for n in range(9))
DRAWING = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="800mm" viewBox="0 0 300 800">'
    f'{SHAPES}<g id="b"><path id="over-edge" d="M20 10V700"/><path id="hem" d="M20 700H220"/></g></svg>'
).encode()


def test_a_missing_id_lists_what_can_be_an_edge_first_and_the_command_that_lists_all():
    with pytest.raises(DrawingError, match="is called so") as told:
        open_drawing(DRAWING, "my front.svg", EdgeWish(), None).edge("zzz")
    assert "It holds over-edge, hem, a0, a1, a2 and more: see closures edges" in str(told.value)
    assert str(told.value).endswith('closures edges "my front.svg".')


def test_a_name_with_a_space_behind_it_is_found_as_it_is_read():
    named = DRAWING.replace(b'id="over-edge"', b'id="over-edge "')
    (line,) = open_drawing(named, "front.svg", EdgeWish(), None).lines("over-edge")
    assert line.length_mm == pytest.approx(690)


def test_of_near_names_a_line_comes_before_a_group():
    named = DRAWING.replace(b'id="b"', b'id="over-edgy"')
    with pytest.raises(DrawingError, match=r"Nearest: over-edge, over-edgy\."):
        open_drawing(named, "front.svg", EdgeWish(), None).edge("over-edgz")


@pytest.mark.parametrize(
    ("name", "called"),
    [("x.dxf", "a DXF"), ("x.PDF", "a PDF"), ("front.png", "a PNG picture"), ("front.jpg", "a JPEG picture")],
)
def test_a_broken_file_is_called_by_its_own_kind(name, called):
    with pytest.raises(DrawingError, match=rf"this is called {called}, and is none that can be read\. Save or export"):
        open_drawing(b"cut off", name, EdgeWish(), None)


def test_a_broken_svg_is_called_an_svg():
    with pytest.raises(DrawingError, match="not an SVG drawing"):
        open_drawing(DRAWING[:-8], "front.svg", EdgeWish(), None)
