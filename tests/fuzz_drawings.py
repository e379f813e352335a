"""Drawings that follow the rules of their format and hold what nobody would draw: for the fuzzer beside this."""

from __future__ import annotations

import io
import random
from collections.abc import Callable

FIGURES = ("0", "-0", "1", "12.5", "1e3", "1e9", "1e309", "-1e-309", ".5.5", "+4", "1e", "nan", "00012", "99999999999")
UNITS = (*("mm",) * 12, "", "px", "pt", "in", "%", "em", "m", "furlong")


def figure(dice: random.Random) -> str:
    """A number as files hold them: mostly usual, now and then not."""
    return dice.choice(FIGURES) if dice.random() < 0.04 else f"{dice.uniform(-20, 400):.{dice.randint(0, 5)}f}"


def edge_places(dice: random.Random) -> list[tuple[float, float]]:
    """A front as somebody might draw it: down the paper, a little to either side."""
    return [(dice.uniform(120, 150), 10 + 65 * k + dice.uniform(-9, 9)) for k in range(dice.choice((4, 7)))]


def path_data(dice: random.Random, is_edge: bool = False) -> str:
    """Commands of a path with as many figures as each takes, or not quite; half of all edges are sound."""
    if is_edge and dice.random() < 0.5:
        (x, y), *rest = edge_places(dice)
        return f"M{x:.3f},{y:.3f}" + dice.choice(("L", " L ", "C", "S", "T")) + " ".join(f"{u:.2f} {v:.2f}" for u, v in rest)  # fmt: skip
    counts = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
    words = [f"M{figure(dice)} {figure(dice)}"] if dice.random() < 0.95 else []
    for _ in range(dice.randint(1, 9)):
        name = dice.choice("MLHVCSQTAZ")
        figures = [figure(dice) for _ in range(counts[name] * dice.randint(1, 2))]
        if name == "A" and dice.random() < 0.9:
            figures[3::7], figures[4::7] = ([dice.choice("01") for _ in figures[3::7]] for _ in "ab")
        if dice.random() < 0.05 and figures:
            figures.pop()
        words.append((name if dice.random() < 0.5 else name.lower()) + dice.choice((" ", ",", "  ")).join(figures))
    return " ".join(words)


def transform(dice: random.Random) -> str:
    """A list of transforms, now and then singular or unreadable."""
    kinds = {"matrix": 6, "translate": 2, "scale": 2, "rotate": 3, "skewX": 1, "skewY": 1, "turn": 1}
    found = []
    for _ in range(dice.randint(1, 3)):
        name = dice.choice(list(kinds))
        small = [figure(dice) if dice.random() < 0.3 else f"{dice.uniform(-2, 2):.3f}" for _ in range(kinds[name])]
        found.append(f"{name}({dice.choice((' ', ','))[0].join(small)})")
    return " ".join(found)


def svg(dice: random.Random) -> bytes:
    """An SVG with groups, uses, styles and shapes in one another; one of its lines has the name that is asked for."""
    style = "<style>" + dice.choice(("#edge{display:none}", ".a{transform:rotate(9deg)}", "path{fill:red", "@media print{", "/*", "")) + "</style>"  # fmt: skip
    shapes = {
        "path": lambda: f'd="{path_data(dice, not parts)}"',
        "polyline": lambda: f'points="{" ".join(figure(dice) for _ in range(dice.randint(1, 12)))}"',
        "line": lambda: f'x1="{figure(dice)}" y1="{figure(dice)}" x2="{figure(dice)}" y2="{figure(dice)}"',
        "ellipse": lambda: f'cx="{figure(dice)}" cy="9" rx="{figure(dice)}" ry="{figure(dice)}"',
        "rect": lambda: f'x="1" y="{figure(dice)}" width="{figure(dice)}" height="{figure(dice)}" rx="{figure(dice)}"',
        "use": lambda: f'href="#{dice.choice(("edge", "s1", "g0", "none"))}" x="{figure(dice)}"',
    }
    parts: list[str] = []
    for n in range(dice.randint(1, 6)):
        name = "path" if not parts and dice.random() < 0.8 else dice.choice(list(shapes))
        tag = f'<{name} id="{"edge" if n == 0 else f"s{n}"}" {shapes[name]()}'
        if dice.random() < 0.3:
            tag += f' transform="{transform(dice)}"'
        if dice.random() < 0.3:
            tag += f' style="{dice.choice(("display:none", "stroke:none;fill:none", "stroke-width:1e309", "d:path(", "opacity:0", "transform:scale(2)"))}"'  # fmt: skip
        parts.append(tag + "/>")
    body = "".join(parts)
    for n in range(dice.randint(0, 3)):
        body = f'<g id="g{n}" transform="{transform(dice)}">{body}</g>' if dice.random() < 0.7 else f"<svg>{body}</svg>"
    unit = dice.choice(UNITS)
    size = (
        f'width="{figure(dice) if dice.random() < 0.1 else 300}{unit}" height="300{unit}"'
        if dice.random() < 0.9
        else ""
    )
    box = f'viewBox="{" ".join(figure(dice) for _ in range(4))}"' if dice.random() < 0.1 else 'viewBox="0 0 300 300"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size} {box}>{style if dice.random() < 0.3 else ""}{body}</svg>'.encode()


def dxf(dice: random.Random) -> bytes:
    """A DXF whose entities have the tags that they need, or not quite."""
    tags = {
        "LINE": (10, 20, 11, 21), "ARC": (10, 20, 40, 50, 51), "CIRCLE": (10, 20, 40), "LWPOLYLINE": (90, 70, 10, 20, 42, 10, 20, 42),
        "SPLINE": (70, 71, 72, 73, 40, 40, 40, 40, 40, 40, 10, 20, 10, 20, 10, 20), "ELLIPSE": (10, 20, 11, 21, 40, 41, 42),
        "POINT": (10, 20), "INSERT": (2, 10, 20, 41, 42, 50), "TEXT": (10, 20, 40, 1),
    }  # fmt: skip
    rows = [
        "0",
        "SECTION",
        "2",
        "HEADER",
        "9",
        "$ACADVER",
        "1",
        "AC1015",
        "9",
        "$INSUNITS",
        "70",
        dice.choice(("4", "1", "0", "77")),
        "0",
        "ENDSEC",
    ]
    rows += ["0", "SECTION", "2", "ENTITIES"]
    for n in range(dice.randint(1, 8)):
        name = dice.choice(list(tags))
        if n == 0 and dice.random() < 0.5:
            rows += ["0", "LWPOLYLINE", "100", "AcDbEntity", "8", "edge", "100", "AcDbPolyline", "90", "4", "70", "0"]
            for x, y in edge_places(dice)[:4]:
                rows += ["10", f"{x:.4f}", "20", f"{-y:.4f}", "42", f"{dice.choice((0, 0.1, -0.2)):g}"]
            continue
        own = {"LWPOLYLINE": "AcDbPolyline"}.get(name, f"AcDb{name.capitalize()}")
        rows += ["0", name, "100", "AcDbEntity", "8", "edge" if n < 1 else f"layer {n}", "100", own]
        for code in tags[name]:
            if dice.random() < 0.99:
                whole = code in (70, 71, 72, 73, 90)
                rows += [str(code), str(dice.choice((0, 1, 2, 3, 10**9))) if whole else figure(dice)]
    rows += ["0", "ENDSEC", "0", "EOF"]
    return dice.choice(("\n", "\r\n")).join(rows).encode()


def pdf(dice: random.Random) -> bytes:
    """A PDF whose pages hold operators in an order that nobody wrote."""
    import pikepdf

    document = pikepdf.new()
    for _ in range(dice.randint(1, 2)):
        document.add_blank_page(page_size=(dice.choice((595, 3, 14400)), 842))
        operators = [("m", 2), ("l", 2), ("c", 6), ("v", 4), ("y", 4), ("re", 4), ("h", 0), ("S", 0), ("f", 0), ("n", 0), ("W", 0), ("q", 0), ("Q", 0), ("cm", 6), ("w", 1), ("d", 1), ("gs", 1), ("Do", 1), ("BT", 0), ("Tj", 1)]  # fmt: skip
        words = []
        if dice.random() < 0.5:
            (x, y), *rest = edge_places(dice)[:4]
            words = [f"2 0 0 -2 40 700 cm {x} {y} m", *(f"{u} {v} l" for u, v in rest), "S"]
        for _ in range(dice.randint(0, 30)):
            name, count = dice.choice(operators)
            words.append(" ".join([*(figure(dice) for _ in range(count)), name]))
        page = document.pages[-1]
        page.Contents = document.make_stream("\n".join(words).encode())
        if dice.random() < 0.3:
            page.obj[dice.choice(("/MediaBox", "/Rotate", "/UserUnit", "/Resources", "/Contents"))] = dice.choice((7, pikepdf.Array([]), pikepdf.Name("/X"), pikepdf.Dictionary()))  # fmt: skip
    out = io.BytesIO()
    document.save(out)
    return out.getvalue()


def table(dice: random.Random) -> bytes:
    """A table of points as a spreadsheet writes it, in any encoding."""
    mark, comma = dice.choice((";", "\t", ",", "  ")), dice.random() < 0.2
    rows = [mark.join(("across", "down"))] if dice.random() < 0.6 else []
    for k in range(dice.randint(0, 30)):
        pair = [f"{dice.uniform(-30, 30):.2f}", f"{25 * k + dice.uniform(-4, 4):.2f}"]
        if dice.random() < 0.05:
            pair[dice.randrange(2)] = dice.choice((*FIGURES, "", "×", "12 mm", "½"))
        rows.append(mark.join(word.replace(".", ",") if comma else word for word in pair))
    text = dice.choice(("\n", "\r\n", "\r")).join(rows)
    return text.encode(
        dice.choice((*("utf-8",) * 5, "utf-8-sig", "utf-16", "utf-16-le", "latin-1", "cp1251", "utf-32")), "replace"
    )


MADE: dict[str, Callable[[random.Random], bytes]] = {"svg": svg, "dxf": dxf, "pdf": pdf, "csv": table}
"""By the ending of the file."""


def plan_for(kind: str) -> str:
    """A plan that takes its edge from such a file."""
    edge = {
        "csv": 'points = "e.csv"',
        "svg": 'path = "edge"',
        "dxf": 'path = "layer edge"',
        "pdf": 'path = "page 1, 1"\nscale = "1/72 in"',
    }[kind]
    drawing = "" if kind == "csv" else f'drawing = "e.{kind}"\n'
    return (
        f'{drawing}[garment]\npieces = "pair"\n[edge]\n{edge}\n[band]\nwidth = "24 mm"\nlap = "right over left"\n[closure]\nkind = "prong snap"\n'
        'size = "16 L"\n[spacing]\nfirst = "14 mm"\nlast = { from = "10 mm", to = "90 mm" }\ncount = 3\n'
    )
