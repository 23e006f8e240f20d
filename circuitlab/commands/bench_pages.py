"""The command ``bench-sheet``: pages for the workbench that are filled in by hand."""

from ..ground.errors import FileError
from ..ground.saving import page_path, save
from .opening import opened

VOLT_DROP, SAFETY, CRIMP = SHEETS = ("volt-drop", "safety", "crimp")


def add_bench_parser(command):
    """Add the command; ``command`` makes a parser from name, function, help and description."""
    sheet = command("bench-sheet", bench_sheet_command, "write a page for the workbench: volts lost, safety, crimps",
                    "Write a page to print, several sheets for a large circuit. volt-drop: for a circuit, what is lost on the way to each lamp and in every piece, the limit with its "
                    "source, and room for your readings. safety: the card that hangs at a bench. crimp: what to look at and what each size must hold.")
    sheet.add_argument("kind", choices=SHEETS, help="which page")
    sheet.add_argument("arrangement", metavar="NAME_OR_FILE", nargs="?", help="the circuit; for volt-drop alone")
    sheet.add_argument("--out", metavar="FILE", required=True, help="where to write it, such as drops.html")


def bench_sheet_command(given):
    """Write a page for the workbench and say where it is; return 0. [1]"""
    if (given.arrangement is None) == (given.kind == VOLT_DROP):
        raise FileError("the sheet volt-drop is made for one circuit. Give its name or file, such as: bench-sheet volt-drop one-fused-lamp --out drops.html."
                        if given.kind == VOLT_DROP else f"the sheet {given.kind} is the same for every circuit. Leave '{given.arrangement}' out.")
    path = page_path(given.out, given.kind)
    saved = save(_page(given), path)
    print(f"The sheet is in {saved}.{saved.before} Open it in a browser and print it on A4.")
    return 0


def _page(given):
    from ..views import bench_pages

    if given.kind == SAFETY:
        return bench_pages.safety_page()
    if given.kind == CRIMP:
        from ..parts.catalogue import table

        return bench_pages.crimp_page(table("crimp_pull_metric"), table("crimp_pull"))
    from ..reasoning.volt_drops import volt_drops

    return bench_pages.volt_drop_page(volt_drops(opened(given.arrangement)))
