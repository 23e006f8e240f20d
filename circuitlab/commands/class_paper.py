"""The commands ``class-paper`` and ``class-answers``: a lesson on paper for each learner, and what is right on it."""

from ..ground.files import read
from ..ground.saving import page_path
from .class_kit import away_from_lessons, class_secret, free, write
from .class_tables import codes_in


def add_paper_parsers(command):
    """Add both commands; ``command`` makes a parser from name, function, help and description."""
    asked = command("class-paper", _paper, "write the questions of a lesson to print, a sheet for each learner",
                    "Write the questions of a lesson as forms to be filled in with a pencil: a sheet for each label of the table of codes, with that "
                    "learner's numbers, and no answer.")
    right = command("class-answers", _answers, "write what is right on the sheets of class-paper, for the teacher alone",
                    "Write the answer sheet to class-paper. It takes the words that the codes were issued with, and refuses others.")
    for each, out in ((asked, "paper.html"), (right, "answers.html")):
        each.add_argument("--lesson", metavar="NUMBER", required=True, help="such as 06")
        each.add_argument("--codes", metavar="FILE", required=True, help="the table of class-codes")
        each.add_argument("--variant", metavar="NUMBER", type=int, default=1, help="which numbers: 1 those asked first (default), 2 those behind "
                          "'New numbers', and so on")
        each.add_argument("--out", metavar="FILE", required=True, help=f"where to write it, such as {out}")
        each.add_argument("--again", action="store_true", help="replace what an earlier run wrote; that is kept beside it")
    right.add_argument("--secret", metavar="WORDS", help="known to the teacher alone; asked for when not given")


def _paper(given):
    from ..teaching.class_paper import questions_on_paper
    from ..views.paper_pages import question_page

    out = _page_at(given)
    on_paper = questions_on_paper(given.lesson, codes_in(read(given.codes), given.codes), given.variant)
    (saved,) = write([out], [question_page(on_paper)])
    print(f"{_sheets(on_paper)} of {len(on_paper.sheets[0].forms)} questions in {out}.{saved.before} Open it in a browser and print it on A4."
          + " The drawings stand at the end, once: print those pages again for each learner." * bool(on_paper.drawings))
    return 0


def _answers(given):
    from ..teaching.class_paper import answers_to_paper
    from ..views.paper_pages import answer_page

    out = _page_at(given)
    away_from_lessons(out)
    codes = codes_in(read(given.codes), given.codes)
    on_paper = answers_to_paper(given.lesson, codes, class_secret() if given.secret is None else given.secret, given.variant)
    (saved,) = write([out], [answer_page(on_paper)])
    print(f"The answers to {_sheets(on_paper).lower()} are in {out}.{saved.before} They are for you alone.")
    return 0


def _sheets(on_paper):
    return "1 sheet" if len(on_paper.sheets) == 1 else f"{len(on_paper.sheets)} sheets"


def _page_at(given):
    """Return where the page goes, or raise when it cannot."""
    out = page_path(given.out, "paper")
    free([out], given.again)
    return out
