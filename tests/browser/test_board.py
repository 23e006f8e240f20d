"""The live board: in JupyterLab once, and on a page of its own for what needs no notebook."""

import nbformat
import pytest
from board_page import open_board
from playwright.sync_api import expect

import circuitlab as cl

pytestmark = pytest.mark.browser
FOUR = "shared-filament-four-relays"
CODE = f'import circuitlab as cl\nboard = cl.board(cl.arrangement("{FOUR}"))\nboard'
NOW = 1500      # ms: by then a hand sees that something answers


@pytest.fixture
def moving(page):
    """A page whose reader has not asked for less motion."""
    page.emulate_media(reduced_motion="no-preference")
    return page


def lamp(place, name):
    """Return the line beside the drawing that tells what a lamp does."""
    return place.get_by_role("list", name="Lamps").get_by_role("listitem").filter(has_text=name)


def middle(locator):
    """Return the middle of what is drawn. [px]"""
    box = locator.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def looks(page, name, seconds):
    """Return at each frame of some seconds how bright a lamp is drawn. [1]"""
    return page.evaluate("""([name, seconds]) => new Promise(done => {
        const glass = [...document.querySelectorAll('.pin30-lamps li')].find(row => row.textContent.startsWith(name)).querySelector('.pin30-glass span');
        const seen = [], begun = performance.now();
        const look = () => { seen.push(Number(glass.style.opacity)); performance.now() - begun < 1000 * seconds ? requestAnimationFrame(look) : done(seen); };
        look(); })""", [name, seconds])


def rises(seen):
    """Return how often something dark became bright. [1]"""
    marks = [light > 0.6 for light in seen if light > 0.6 or light < 0.25]
    return sum(later and not earlier for earlier, later in zip(marks, marks[1:]))


def test_in_jupyterlab_the_pedal_lights_the_lamp_and_the_lever_flashes_it(notebooks, notebook, moving, keep_picture):
    """Pressed in the drawing itself; the lamp is out again when the hand lets go, and flashes at the flasher's own rate."""
    cell = nbformat.v4.new_code_cell(CODE, id="board")
    made = nbformat.v4.new_notebook(cells=[cell], metadata={
        "kernelspec": {"name": "python3", "display_name": "Python 3 (ipykernel)", "language": "python"}})
    nbformat.write(made, notebooks / "board.ipynb")
    notebook.open("board.ipynb").run_all()
    board = notebook.outputs.locator(".pin30-board")
    expect(lamp(board, "E1")).to_contain_text("dark")
    expect(board.get_by_role("button", name="Run", exact=True)).to_be_visible()
    moving.mouse.move(*middle(board.locator("[data-key=S2]")))
    moving.mouse.down()
    expect(lamp(board, "E1")).to_contain_text("69 %", timeout=NOW)
    expect(board.get_by_role("button", name="S2, pedal arm, switch: held")).to_have_count(1)
    moving.mouse.up()
    expect(lamp(board, "E1")).to_contain_text("dark", timeout=NOW)
    board.get_by_role("button", name="key: on").click()
    x, y = middle(board.locator("[data-key=S3]"))
    moving.mouse.click(x - 80, y)
    flashed = rises(looks(moving, "E1", 4.0))
    rate = cl.arrangement(FOUR).part("K9").rate
    assert abs(flashed - 4 * rate / 60) <= 1
    keep_picture("board-in-jupyterlab")
    assert moving.outside == []
    assert moving.problems == []
    (notebooks / "board.ipynb").unlink()
