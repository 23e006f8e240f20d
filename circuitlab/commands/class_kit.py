"""The commands ``class-codes`` and ``class-summary``: what a teacher needs before and after a lesson with a class."""

import os
import random
import re
import sys
from getpass import getpass
from pathlib import Path

from ..ground.errors import CircuitLabError, FileError
from ..ground.files import read
from ..ground.known_cells import lesson_files
from ..ground.plain import bounded, plain
from ..ground.saving import encoded, kept_words, put, standing
from .class_tables import codes_in, codes_lines, labels_in, table_text

PARTLY = 1    # some folder has no answers yet, or was used only in part
MOST_SAID = 300     # letters of a sentence about one record
FEWEST_WORDS = 4    # of a secret that nobody guesses


def add_class_parsers(command):
    """Add both commands; ``command`` makes a parser from name, function, help and description."""
    codes = command("class-codes", _codes, "issue a code to each learner of a class, from one secret",
                    "Write a table with each label, the lesson and its code, and in its last line how many there are. The same secret gives the same "
                    "codes again.")
    codes.add_argument("--secret", metavar="WORDS", help="known to the teacher alone; asked for when not given")
    codes.add_argument("--lesson", metavar="NUMBER", required=True, help="such as 11")
    codes.add_argument("--labels", metavar="FILE", required=True, help="one label to a line, such as 'seat 4', which names the learner's folder too")
    codes.add_argument("--out", metavar="FILE", required=True, help="where to write the table, such as codes.csv")
    summary = command("class-summary", _summary, "mark a class's records anew and write its grid",
                      "Mark every record anew from the circuit and write grid.html, projector.html, grid.csv and "
                      "misconceptions.csv. Nothing is written into FOLDER. Leaves with 0 when every record was used whole, with 1 "
                      "when a seat has no answers yet, one was used in part or one of the table of codes has no folder (each is named), with 2 for bad input.")
    summary.add_argument("folder", metavar="FOLDER", help="holds one folder for each student, with its records")
    summary.add_argument("--out", metavar="DIR", required=True, help="where to write the pages; made when it is not there")
    summary.add_argument("--lesson", metavar="NUMBER", help="only this lesson (default: every one there are records of)")
    summary.add_argument("--codes", metavar="FILE", help="the table of class-codes; answers to other numbers do not count")
    summary.add_argument("--key", metavar="FILE", help="also write the answer key, into a page of its own")
    for each in (codes, summary):
        each.add_argument("--again", action="store_true", help="replace what an earlier run wrote; that is kept beside it")


def _codes(given):
    from ..teaching.gathering import lesson_number
    from ..teaching.seeds import issue_code

    lesson = lesson_number(given.lesson)
    labels = labels_in(read(given.labels), given.labels)
    free([Path(given.out)], given.again)
    secret = class_secret() if given.secret is None else given.secret
    codes = [(label, issue_code(secret, lesson, label)) for label in labels]
    changed = _changed(Path(given.out), codes_in(table_text(codes_lines(lesson, codes)), given.out))
    written = write([Path(given.out)], [table_text(codes_lines(lesson, codes))])
    are, makes = ("1 code is", "it again") if len(codes) == 1 else (f"{len(codes)} codes are", "them again")
    print(f"{are} in {given.out}. Keep the secret: it makes {makes}.{kept_words(written)}{changed}{_guessed(secret)}")
    return 0


def _changed(out, codes):
    """Return how many learners had another code in the table that is replaced, in a sentence, or an empty text. [text]"""
    try:
        before = codes_in(read(out), str(out)) if os.path.lexists(out) else {}
    except CircuitLabError:     # no table of codes: nobody works with it
        before = {}
    changed, gone = (sum(place in codes and codes[place] != code for place, code in before.items()), sum(place not in codes for place in before))
    told = [f"{count} {'code' if count == 1 else 'codes'} {what}" for count, what in ((changed, "changed"), (gone, "of the earlier table left out")) if count]
    return f" {' and '.join(told)}: what was answered with those counts only with the earlier table." if told else ""


def _guessed(secret):
    """Return a warning for a secret of few words, else an empty text. [text]"""
    count = len(set(re.findall(r"\w+", secret.casefold())))
    return "" if count >= FEWEST_WORDS else (
        f" The secret has only {'1 word' if count == 1 else f'{count} different words'}, and whoever guesses it can make these codes and their answers: take four or "
        "more that nobody guesses, and issue anew.")


def _summary(given):
    from ..teaching.class_marking import class_summary
    from ..views.class_pages import class_page, grid_lines, idea_lines, key_page, projector_page

    folder, out = Path(given.folder), Path(given.out)
    pages = [out / name for name in ("grid.html", "projector.html", "grid.csv", "misconceptions.csv")]
    key = [Path(given.key)] if given.key else []
    _outside(folder, [out, *key])
    if key and key[0].resolve().parent == out.resolve():
        raise FileError("the key would lie among the pages of the class. Give --key another folder.")
    for each in key:
        away_from_lessons(each)
    free(pages + key, given.again)
    summary = class_summary(folder, given.lesson, _issued(given))
    if not summary.students:
        raise FileError(f"nothing in '{folder}' can be marked{_why(_named(summary), folder)}")
    texts = [class_page(summary), projector_page(summary, lambda rows: random.SystemRandom().sample(rows, len(rows))),
             table_text(grid_lines(summary)), table_text(idea_lines(summary))]
    written = write(pages + key, texts + [key_page(summary) for _ in key])
    troubles = _named(summary)
    seats = "1 seat" if len(summary.students) == 1 else f"{len(summary.students)} seats"
    absent = f", {len(summary.missing)} of the table without a folder" if summary.missing else ""
    print("\n".join([*troubles, f"{seats} with answers, {len(summary.skipped)} with no answers yet{absent}. The pages are in {out}: "
                     + ", ".join(page.name for page in pages) + "." + kept_words(written)]))
    if key:
        print(f"The answer key is in {key[0]}.")
    return PARTLY if troubles else 0


def _named(summary):
    """Return a sentence for everything that was not used."""
    told = [f"{name}: {why}." for name, why in summary.skipped]
    told += [f"{student.name}: {trouble.words}." for student in summary.students for trouble in student.troubles]
    told = [bounded(plain(each, kept=""), MOST_SAID) for each in told]
    if summary.missing:
        told.append(f"No folder here is named as these of the table of codes: {', '.join(plain(each, kept='') for each in summary.missing)}.")
    return told


def _issued(given):
    """Return the codes of the table, None without one; raise where it has none for the one lesson that is marked."""
    from ..teaching.gathering import lesson_number

    if not given.codes:
        return None
    codes, lesson = codes_in(read(given.codes), given.codes), given.lesson and lesson_number(given.lesson)
    if lesson and all(of != lesson for _, of in codes):
        raise FileError(f"'{given.codes}' holds no code of lesson {lesson}, only of {', '.join(sorted({of for _, of in codes}))}. Give the table that was issued for "
                        f"lesson {lesson}, or leave --codes out: then every answer counts, whoever's numbers it is for.")
    return codes


def _why(named, folder):
    """Return why nobody can be marked; where there are several reasons, name them all above."""
    if len(named) == 1:
        return f". {named[0]}"
    print("\n".join(named), file=sys.stderr)
    count = sum(each.is_dir() for each in folder.iterdir())
    return f": not one of its {count} folders holds an answer. Each is named above, with the reason."


def class_secret():
    """Ask for the secret of a class, where there is somebody to ask."""
    if sys.stdin is None or sys.stdin.closed or not sys.stdin.isatty():
        raise FileError("the secret of the class is not given, and nobody is here to ask. Give it with --secret WORDS.")
    try:
        return getpass("Class secret: ")
    except EOFError:
        raise FileError("no secret was typed. Type the words you keep for this class, or give them with "
                        "--secret.") from None


def _outside(folder, places):
    for place in places:
        if folder.resolve() in (place.resolve(), *place.resolve().parents):
            raise FileError(f"'{place}' lies in the folder of the records, where nothing is written. Give another place.")


def away_from_lessons(out):
    """Raise where answers would lie among lessons, a learner's or the kit's own, which are handed out and shipped."""
    names = {path.name for path in lesson_files().values()}
    for folder in out.resolve().parents:
        if any((folder / name).exists() for name in names):
            raise FileError(f"'{out}' would lie among the lessons in '{folder.name}', which are handed out. Give the answers a folder of your own.")


def free(paths, again):
    """Raise a FileError for a place where something stands, unless it is to be replaced."""
    there = [path for path in paths if os.path.lexists(path)]
    if there and not again:
        raise FileError(f"'{there[0]}' is there already. Say --again to replace it, or give another place.")


def write(paths, texts):
    """Write files into folders that are made, none before each of them may be; return where, as :class:`Saved`."""
    contents = [encoded(text) for text in texts]
    olds = [standing(path, content) for path, content in zip(paths, contents, strict=True)]
    for path in paths:
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise FileError(f"'{path}' cannot be written: {error.strerror}. Give another place.") from None
    return [put(*each) for each in zip(contents, paths, olds, strict=True)]
