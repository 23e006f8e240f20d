"""Pictures as files and the commands that write them: every kind says what the drawing says, every error is a sentence."""

import re
import xml.etree.ElementTree as ET
import zlib
from base64 import a85decode

import pytest
from PIL import Image

from circuitlab.arrangements import arrangement, arrangement_names
from circuitlab.commands.line import main
from circuitlab.ground.errors import ArrangementError, FileError
from circuitlab.parts import Lamp
from circuitlab.solving import operating_point
from circuitlab.views.attached import draw_attached
from circuitlab.views.printing.export import SHARP, picture, save_picture, write_picture
from circuitlab.views.schematic import draw
from circuitlab.views.style import INSULATION, PAPER

NAME = "shared-filament-rear-relays"
ROW = {"key": "on", "turn lever": "left"}
FORMS = ("current-path", "attached")


@pytest.fixture(scope="module")
def cart():
    return arrangement(NAME)


def colours(image):
    """Return how many pixels of each colour an image has."""
    return {f"#{red:02x}{green:02x}{blue:02x}": count for count, (red, green, blue) in
            image.convert("RGB").getcolors(maxcolors=1 << 24)}


@pytest.mark.in_turn(2)
@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("look", sorted(PAPER))
def test_a_png_has_the_size_the_paper_and_the_colours_of_its_drawing(cart, tmp_path, form, look):
    point = operating_point(cart, ROW)
    svg = picture(cart, point, form, look)
    image = Image.open(save_picture(cart, tmp_path / "cart.png", point, form, look))
    wide, high = (float(number) for number in ET.fromstring(svg).get("viewBox").split()[2:])
    assert abs(image.width - SHARP * wide) <= 1 and abs(image.height - SHARP * high) <= 1
    found = colours(image)
    assert max(found, key=found.get) == PAPER[look][0]
    live = {wire.colour[:2] for wire in cart.wires if point.is_live(wire.start)}
    assert all(found.get(INSULATION[letters].lower(), 0) > 50 for letters in live), live
    ink = {"light": "#000000", "dark": "#e6e6e6"}[look]
    assert found[ink] > 0.005 * image.width * image.height


def test_letters_are_drawn_in_a_png(cart, tmp_path):
    """The same drawing without its title is blank where the title stood."""
    svg = picture(cart)
    bare = svg.replace(f">{cart.title}</text>", "></text>")
    assert bare != svg
    images = [Image.open(write_picture(text, tmp_path / f"{number}.png")).convert("L").crop((0, 0, 500, 50))
              for number, text in enumerate((svg, bare))]
    dark = [sum(image.histogram()[:128]) for image in images]
    assert dark[0] > dark[1] + 500


def streams(pdf):
    """Return the decoded page content of a PDF as reportlab writes it. [text]"""
    found = re.findall(rb"/Filter \[ /ASCII85Decode /FlateDecode \][^>]*>>\s*stream\r?\n(.*?)endstream", pdf, re.DOTALL)
    return b"\n".join(zlib.decompress(a85decode(piece.strip().removesuffix(b"~>"))) for piece in found).decode("latin-1")


@pytest.mark.parametrize("form", FORMS)
def test_a_pdf_has_the_size_and_every_wire_of_its_drawing(cart, tmp_path, form):
    """Lines stay lines: each wire's colour is stroked, and the typeface is inside."""
    point = operating_point(cart, ROW)
    content = save_picture(cart, tmp_path / "cart.pdf", point, form).read_bytes()
    svg = ET.fromstring(picture(cart, point, form))
    box = [float(number) for number in re.search(rb"/MediaBox \[ ?([\d. ]+?) ?\]", content)[1].split()]
    wide, high = (float(number) for number in svg.get("viewBox").split()[2:])
    assert box[2] / box[3] == pytest.approx(wide / high, rel=0.01)
    page = streams(content)
    for letters in {wire.colour[:2] for wire in cart.wires} - {"WH"}:
        red, green, blue = (int(INSULATION[letters][at:at + 2], 16) / 255 for at in (1, 3, 5))
        pattern = " ".join(rf"{value:.6f}".rstrip("0").removeprefix("0").rstrip(".") or "0" for value in (red, green, blue))
        assert f"{pattern} RG" in page, letters
    assert b"DejaVuSans" in content and b"DejaVuSans-Bold" in content
    assert page.count("BT") >= len(list(svg.iter("{http://www.w3.org/2000/svg}text")))
    assert "currentcolor" not in page.lower()


@pytest.mark.parametrize("ending", ["svg", "png", "pdf"])
def test_the_same_input_gives_the_same_bytes(cart, tmp_path, ending):
    one, two = (save_picture(cart, tmp_path / f"{name}.{ending}", form="attached").read_bytes() for name in "ab")
    assert one == two


def test_an_svg_is_the_drawing_on_its_own_paper(cart, tmp_path):
    point = operating_point(cart, ROW)
    for form, make in (("current-path", draw), ("attached", draw_attached)):
        text = save_picture(cart, tmp_path / "cart.svg", point, form, "dark").read_text(encoding="utf-8")
        assert text == make(cart, point, background=PAPER["dark"][0])
        assert ET.fromstring(text).get("color") == PAPER["dark"][1]


def test_view_and_pin_order_are_passed_on(cart, tmp_path):
    path = save_picture(cart, tmp_path / "cart.svg", form="attached", view="face", pins="B")
    assert path.read_text(encoding="utf-8") == draw_attached(cart, view="face", pins="B", background="#ffffff")
    with pytest.raises(ArrangementError, match="no view 'back'"):
        save_picture(cart, tmp_path / "cart.svg", form="attached", view="back")


def test_letters_a_pdf_cannot_show_are_named_and_the_other_kinds_show_them(tmp_path):
    odd = arrangement("one-fused-lamp")
    odd = odd.with_parts(Lamp("E1", place="左後ろ"))
    with pytest.raises(FileError, match="no '左'.*as .svg or .png instead"):
        save_picture(odd, tmp_path / "odd.pdf")
    assert not (tmp_path / "odd.pdf").exists()
    for ending in ("svg", "png"):
        assert save_picture(odd, tmp_path / f"odd.{ending}").stat().st_size > 5000


@pytest.mark.parametrize(("name", "more", "words"), [
    ("cart.gif", {}, "End it in .svg, .png or .pdf"), ("cart", {}, "'cart' is not the name of a picture"),
    ("not there/cart.png", {}, "Choose a folder that is there"), ("cart.svg", {"form": "wall"}, "current-path, attached"),
    ("cart.svg", {"look": "grey"}, "light, dark")])
def test_bad_input_gets_a_sentence(cart, tmp_path, name, more, words):
    with pytest.raises(FileError, match=words):
        save_picture(cart, tmp_path / name, **more)


# ------------------------------------------------------------------ the commands

def test_draw_writes_the_row_asked_for(tmp_path, capsys, cart):
    out = tmp_path / "cart.svg"
    for form, make in (("current-path", draw), ("attached", draw_attached)):
        assert main(["draw", NAME, "--out", str(out), "--form", form, "--row", "key=on, turn lever=left"]) == 0
        assert out.read_text(encoding="utf-8") == make(cart, operating_point(cart, ROW), background="#ffffff")
        assert str(out) in capsys.readouterr().out
    assert main(["draw", NAME, "--out", str(out), "--dark", "--row", "key=on; turn lever = left", "--phase", "off"]) == 0
    point = operating_point(cart, ROW, phases="off")
    assert out.read_text(encoding="utf-8") == draw(cart, point, background=PAPER["dark"][0])
    assert main(["draw", NAME, "--out", str(out), "--form", "attached", "--view", "face", "--pins", "B"]) == 0
    assert out.read_text(encoding="utf-8") == draw_attached(cart, view="face", pins="B", background="#ffffff")


def test_draw_writes_png_and_pdf(tmp_path, capsys):
    for ending, start in (("png", b"\x89PNG"), ("pdf", b"%PDF")):
        assert main(["draw", "one-fused-lamp", "--out", str(tmp_path / f"lamp.{ending}")]) == 0
        assert (tmp_path / f"lamp.{ending}").read_bytes().startswith(start)


@pytest.mark.parametrize(("form", "most"), [("current-path", 4), ("attached", 2)])
def test_draw_writes_readings_and_pages(form, most, tmp_path, capsys, cart):
    point, words = operating_point(cart, ROW), ["--form", form, "--row", "key=on, turn lever=left", "--readings", "--pages"]
    assert main(["draw", NAME, "--out", str(tmp_path / "cart.svg"), *words]) == 0
    whole = (tmp_path / "cart.svg").read_text(encoding="utf-8")
    assert whole == picture(cart, point, form, readings=True) != picture(cart, point, form)
    assert str(tmp_path / "cart.svg") in capsys.readouterr().out
    paths = save_picture(cart, tmp_path / "part.svg", point, form, pages=True, most=most)
    assert [path.name for path in paths] == [f"part-{number}.svg" for number in range(1, len(paths) + 1)] and len(paths) > 1
    wires = [set(re.findall('data-wire="([^"]+)"', path.read_text(encoding="utf-8"))) for path in paths]
    assert set.union(*wires) == {wire.name for wire in cart.wires} and all(each != wires[0] for each in wires[1:])


@pytest.mark.parametrize(("words", "sentence"), [
    (["--out", "x.svg", "--readings"], "--readings needs a row"),
    (["--out", "x.bmp"], "End it in .svg, .png or .pdf"),
    (["--out", "x.svg", "--row", "key"], "'key' is not a control and its position"),
    (["--out", "x.svg", "--row", "key=off, key=on"], "'key' is given twice"),
    (["--out", "x.svg", "--row", "kex=on"], "Did you mean 'key'?"),
    (["--out", "x.svg", "--row", "turn lever=lef"], "Did you mean 'left'?"),
    (["--out", "x.svg", "--pins", "B"], "Add --form attached")])
def test_draw_says_what_is_wrong(words, sentence, capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert main(["draw", NAME, *words]) == 2
    said = capsys.readouterr()
    assert sentence in said.err and "Traceback" not in said.err and not said.out
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("names", [["one-fused-lamp", "relay-test-board"], pytest.param(arrangement_names(), marks=pytest.mark.full)],
                         ids=["two", "all"])
def test_the_contact_sheet_has_every_arrangement_in_both_forms(tmp_path, capsys, monkeypatch, names):
    monkeypatch.setattr("circuitlab.arrangements.arrangement_names", lambda: names)
    assert main(["contact-sheet", "--out", str(tmp_path / "sheet")]) == 0
    page = (tmp_path / "sheet" / "index.html").read_text(encoding="utf-8")
    shown = re.findall(r'<img src="([^"]+)"', page)
    assert shown == [f"{name}.{form}.svg" for name in names for form in FORMS]
    for name in shown:
        assert ET.parse(tmp_path / "sheet" / name).getroot().get("role") == "img"
    assert len(list((tmp_path / "sheet").iterdir())) == len(shown) + 1
    assert str(len(shown)) in capsys.readouterr().out


def test_a_folder_that_cannot_be_used_is_said(tmp_path, capsys):
    (tmp_path / "file").write_text("here already")
    assert main(["contact-sheet", "--out", str(tmp_path / "file")]) == 2
    assert "Give another folder" in capsys.readouterr().err


def test_a_row_may_be_given_in_pieces(tmp_path):
    """Whoever gives --row twice means both; none is dropped."""
    for name, rows in (("one.svg", ["--row", "key=on, turn lever=left"]), ("two.svg", ["--row", "key=on", "--row", "turn lever=left"])):
        assert main(["draw", NAME, "--out", str(tmp_path / name), *rows]) == 0
    assert (tmp_path / "one.svg").read_text() == (tmp_path / "two.svg").read_text()
