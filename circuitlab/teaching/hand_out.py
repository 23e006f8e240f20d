"""Make a lesson ready for nbgrader: the notebook, its pictures, an empty folder for answers, one graded cell at the end.

    python -m circuitlab.teaching.hand_out 06 course/source

nbgrader then hands it out, collects the folder with the answers in it and runs the notebook again there. Its last cell
marks the record anew: for each check the credit it has earned. Predictions, observations and notes earn none: whoever clicks
them away has nothing for it.
"""

import json
import shutil
import sys
from pathlib import Path

from ..ground.arguments import FOLDER, PATH, must_be
from ..ground.errors import CircuitLabError, FileError
from ..ground.places import kit_folder
from ..ground.plain import plain
from ..ground.saving import save
from .class_marking import earning, student_marks
from .gathering import lesson_book, lesson_files, lesson_number

POINTS = ("# The credit that each check has earned; predictions, observations and notes earn none. The record is marked anew.\n"
          "from circuitlab.teaching.hand_out import points\n\n"
          "points(lesson.record.path)")


def hand_out(number, course):
    """Write the source of one assignment, ``lesson-06`` and so on, and return its folder.

    Parameters
    ----------
    number : str
        Of the lesson, such as ``"06"``. [text]
    course : str or Path
        nbgrader's folder of sources; made when it is not there.

    Returns
    -------
    Path

    Raises
    ------
    UnknownName
        For a lesson the kit does not have.
    FileError
        For a folder that cannot be written, and when another notebook stands there, such as one that was changed
        since; it is left as it is.
    """
    must_be(course, FOLDER, "course", "hand_out")
    lessons, number = lesson_files(), lesson_number(number)
    folder, notebook = Path(course) / f"lesson-{number}", json.loads(lessons[number].read_text(encoding="utf-8"))
    notebook["cells"].append(_graded(number, earning(lesson_book(number).questions)))
    try:
        (folder / "answers").mkdir(parents=True, exist_ok=True)
        shutil.copytree(kit_folder("lessons") / "pictures", folder / "pictures", dirs_exist_ok=True)
    except (OSError, shutil.Error) as error:
        raise FileError(f"'{folder}' cannot be used for the assignment: {getattr(error, 'strerror', None) or error}. "
                        "Give another folder.", folder=folder) from None
    if not (folder / "answers" / "README.txt").exists():
        save("Your answers are kept here, one line each.\n", folder / "answers" / "README.txt")
    save(json.dumps(notebook, indent=1, ensure_ascii=False) + "\n", folder / lessons[number].name)
    return folder


def points(record):
    """Return the points for a record, marked anew against the kit's own lesson. [1]

    Parameters
    ----------
    record : str or Path
        The file, such as ``answers/lesson-06.jsonl``. [text]
    """
    must_be(record, PATH, "record", "points")
    record = Path(record)
    number = record.stem.removeprefix("lesson-")
    if number not in lesson_files():
        raise FileError(f"'{record.name}' is not the record of a lesson of this kit. "
                        "Give one such as 'lesson-06.jsonl'.")
    return sum(mark.credit for mark in student_marks(record.parent, number).values())


def _graded(number, most):
    marks = {"grade": True, "grade_id": f"lesson-{number}", "locked": True, "points": most, "schema_version": 3,
             "solution": False, "task": False, "cell_type": "code"}
    return {"cell_type": "code", "id": "graded", "execution_count": None, "outputs": [], "source": POINTS,
            "metadata": {"deletable": False, "editable": False, "nbgrader": marks}}


def main(words):
    """Write an assignment by the words of a command line: number and folder; return the number to leave with. [1]"""
    try:
        if len(words) != 2 or words[0].startswith("-"):
            raise FileError("hand_out takes the number of a lesson and nbgrader's folder of sources, such as: "
                            "python -m circuitlab.teaching.hand_out 06 course/source")
        print(plain(str(hand_out(*words))))
    except CircuitLabError as error:
        print(error, file=sys.stderr)
        return 2
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
