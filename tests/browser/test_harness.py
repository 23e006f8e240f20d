"""The browser harness itself, on a small notebook: it sees changes, web requests, console errors and failing cells."""

import nbformat
import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

WORKING = '''
import ipywidgets as widgets
volts = widgets.FloatSlider(12, min=6, max=15, step=0.5, description="Supply")
brake = widgets.ToggleButton(False, description="Brake")
said = widgets.HTML()
def show(change=None):
    said.value = f"<p role='status'>lamp {volts.value * brake.value:.1f} V</p>"
volts.observe(show, "value")
brake.observe(show, "value")
show()
widgets.VBox([volts, brake, said])
'''


@pytest.fixture
def write(notebooks):
    """Return a function that writes a notebook of code cells where the JupyterLab looks, and takes it away later."""
    written = []

    def write_notebook(name, *cells):
        made = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(cell) for cell in cells])
        made.metadata.kernelspec = {"name": "python3", "display_name": "Python 3 (ipykernel)", "language": "python"}
        nbformat.write(made, notebooks / name)
        written.append(notebooks / name)
        return name

    yield write_notebook
    for path in written:
        path.unlink()


@pytest.mark.full
def test_keys_and_clicks_reach_the_kernel(notebook, page, write, keep_picture):
    """A slider moved by keyboard and a toggle clicked change what the kernel answers; nothing leaves the machine."""
    notebook.open(write("harness_works.ipynb", WORKING)).run_all()
    status = notebook.outputs.get_by_role("status")
    expect(status).to_have_text("lamp 0.0 V")
    notebook.button("Brake").click()
    expect(status).to_have_text("lamp 12.0 V")
    notebook.slider("Supply").focus()
    page.keyboard.press("ArrowRight")
    expect(status).to_have_text("lamp 12.5 V")
    keep_picture("harness")
    assert page.outside == []
    assert page.problems == []


@pytest.mark.full
def test_a_failing_cell_is_seen(notebook, write):
    """An error in a cell is not passed over."""
    notebook.open(write("harness_fails.ipynb", "1 / 0"))
    with pytest.raises(AssertionError, match="ZeroDivisionError"):
        notebook.run_all()


@pytest.mark.full
def test_a_look_at_the_web_and_a_console_error_are_seen(notebook, page, write):
    """Both lists that the lessons' tests hold to be empty do fill."""
    notebook.open(write("harness_leaks.ipynb", "1"))
    with page.expect_console_message(lambda message: message.text == "no news"):
        page.evaluate("fetch('http://pin-thirty.invalid/news').catch(() => console.error('no news'))")
    assert page.outside == ["http://pin-thirty.invalid/news"]
    assert "no news" in page.problems
