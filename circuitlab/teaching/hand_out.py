"""Make a lesson ready for nbgrader: the notebook, its pictures, an empty folder for answers, one graded cell at the end.

    python -m circuitlab.teaching.hand_out 06 course/source

nbgrader then hands it out, collects the folder with the answers in it and runs the notebook again there. Its last cell
marks the record anew: a point for each prediction and each note, right or wrong, and for every other question its credit.
"""

import json
import shutil
import sys
from pathlib import Path

from ..ground.errors import CircuitLabError, unknown_name
from ..ground.places import kit_folder
from ..ground.saving import save
from .class_marking import AT_ONCE, HALF, LATER, student_marks
from .gathering import lesson_questions

CREDIT = {AT_ONCE: 1.0, LATER: 1.0, HALF: 0.5}
KEPT_ANYWAY = ("predicted", "noted")    # kinds in which nothing can be lost
POINTS = ("# A point for each prediction and note; for every other question the credit earned. The record is marked anew.\n"
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
        When another notebook stands there, such as one that was changed since; it is left as it is.
    """
    lessons = {path.name[:2]: path for path in sorted(kit_folder("lessons").glob("[0-9][0-9]_*.ipynb"))}
    if number not in lessons:
        raise unknown_name("the kit", "lesson", number, lessons)
    folder = Path(course) / f"lesson-{number}"
    (folder / "answers").mkdir(parents=True, exist_ok=True)
    if not (folder / "answers" / "README.txt").exists():
        save("Your answers are kept here, one line each.\n", folder / "answers" / "README.txt")
    shutil.copytree(kit_folder("lessons") / "pictures", folder / "pictures", dirs_exist_ok=True)
    notebook = json.loads(lessons[number].read_text(encoding="utf-8"))
    notebook["cells"].append(_graded(number, len(lesson_questions(number))))
    save(json.dumps(notebook, indent=1, ensure_ascii=False) + "\n", folder / lessons[number].name)
    return folder


def points(record):
    """Return the points for a record, marked anew against the kit's own lesson. [1]

    Parameters
    ----------
    record : str or Path
        The file, such as ``answers/lesson-06.jsonl``. [text]
    """
    record = Path(record)
    number = record.stem.removeprefix("lesson-")
    questions, marks = lesson_questions(number), student_marks(record.parent, number)
    return sum(1.0 if questions[item].kind in KEPT_ANYWAY else CREDIT.get(mark.word, 0.0) for item, mark in marks.items())


def _graded(number, most):
    marks = {"grade": True, "grade_id": f"lesson-{number}", "locked": True, "points": most, "schema_version": 3,
             "solution": False, "task": False, "cell_type": "code"}
    return {"cell_type": "code", "id": "graded", "execution_count": None, "outputs": [], "source": POINTS,
            "metadata": {"deletable": False, "editable": False, "nbgrader": marks}}


if __name__ == "__main__":
    try:
        print(hand_out(*sys.argv[1:3]))
    except CircuitLabError as error:
        sys.exit(str(error))
