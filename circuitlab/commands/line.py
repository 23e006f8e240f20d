"""The command line: reads the words, calls the floor that does the work, and says errors as sentences."""

import argparse
import os
import sys
from contextlib import suppress
from functools import partial

from ..arrangements import arrangement, arrangement_names, save
from ..ground.errors import MOST_SAID, ArrangementError, CircuitLabError
from ..ground.plain import bounded
from ..ground.quantities import read_quantity
from ..ground.stopping import SENTENCE, STOPPED, hand_over
from .bench_pages import add_bench_parser
from .boards import FORMS, board_command
from .build_sheets import sheet_command
from .choosing import add_choose_parser
from .class_kit import add_class_parsers
from .class_paper import add_paper_parsers
from .console import console
from .fault_list import print_comparison, print_faults
from .finding import add_find_parser
from .opening import opened
from .pictures import contact_sheet_command, draw_command
from .proofs import prove_command

UNSETTLED = 1  # the arrangement was read, and a row of it does not settle, or a rule, one of sizing too, is broken
BAD_INPUT = 2  # nothing could be done; argparse uses the same number
_ONE = "a name that the command 'arrangements' lists, a .toml file of your own, or a .changes file saved on a board"


def main(words=None):
    """Run one command.

    Parameters
    ----------
    words : list of str
        What was typed after ``python -m circuitlab``; None takes it from the command line. [text]

    Returns
    -------
    int
        0 when all is well, 1 when a row of the arrangement does not settle or a rule is broken,
        2 for bad input, 130 when stopped from the keyboard. [1]
    """
    with console():
        return _told(words)


def _told(words):
    try:
        hand_over()
        given = _parser().parse_args(words)
        if given.command is None:
            _parser().print_help()
            return 0
        if given.command == "start" or given.command == "board" and given.out is None:       # JupyterLab writes its own colours
            sys.stdout, sys.stderr = sys.stdout.beneath, sys.stderr.beneath
        code = given.do(given)
        sys.stdout.flush()
        return code
    except SystemExit:                             # argparse has said what is wrong, or the help
        _finish()
        raise
    except BrokenPipeError:                        # whoever read the output has seen enough
        _leave()
        return 0
    except KeyboardInterrupt:
        print(SENTENCE, file=sys.stderr)
        return STOPPED
    except CircuitLabError as error:
        print(error, file=sys.stderr)
        return BAD_INPUT
    except OSError as error:                       # a full disk behind the output, a folder that went away
        _leave()
        where = f", at {error.filename}" if error.filename else ""
        print(f"stopped: {error.strerror or error}{where}.", file=sys.stderr)
        return BAD_INPUT


def _finish():
    """Write out what is held back; a reader who has gone is no error."""
    try:
        sys.stdout.flush()
    except OSError:
        _leave()


def _leave():
    """Let what is still held back go nowhere, so that Python does not stumble over it when it ends."""
    with suppress(OSError, AttributeError):        # a stream that is none has nothing held back
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


class _Parser(argparse.ArgumentParser):
    """A parser whose complaint about a word is never endless."""

    def error(self, message):
        if message.startswith("unrecognized arguments") and "=" in message:
            message += '. Put what holds a blank in quotes, such as --row "lamp switch=on"'
        super().error(bounded(message, MOST_SAID))


def _parser():
    parser = _Parser(prog="python -m circuitlab", description=(
        "Pin Thirty: choose, prove, draw and build the signal lamp circuits of a 12 V vehicle or trailer."))
    command = partial(_command, parser.add_subparsers(dest="command", metavar="COMMAND"))

    add_choose_parser(command)
    listing = command("arrangements", _arrangements, "list the arrangements that come with the kit")
    listing.add_argument("others", nargs="*", help=argparse.SUPPRESS)
    listing.add_argument("--out", help=argparse.SUPPRESS)       # as one copied before there was a word for it
    copying = command("copy", _copy, "copy an arrangement into a file of your own, to be changed there", of_one=True)
    copying.add_argument("out", metavar="FILE", help="where to write the copy, such as my-cart.toml")
    proof = command("prove", prove_command, "print what every lamp does in every combination of positions",
                    "Print the lamp table. Leaves with 0 when every row settles and keeps the arrangement's own rule, with 1 "
                    "when a row does not or a lamp has no rule, with 2 for bad input. With --rule: leaves with 0 when every "
                    "row, order and time course keeps that rule, with 1 when one breaks it or it does not speak of a lamp. "
                    "Ctrl+C stops it, and it leaves with 130.", of_one=True)
    proof.add_argument("--rule", metavar="RULE", action="append", help="a rule of the kit, a .toml file, a sentence such as "
                       "'rear left: flash when turn left, else dark', or 'own' for the arrangement's own; with sentences "
                       "once for each lamp")
    proof.add_argument("--sample", metavar="ROWS", type=int, help="look only at so many rows, drawn by chance")
    sheet = command("sheet", sheet_command, "write the build sheet: parts, connections, sockets, tick sheet", of_one=True)
    sheet.add_argument("--out", metavar="FILE", required=True, help="where to write it, such as sheet.html")
    sheet.add_argument("--blank", action="store_true", help="for a class: looks and volts are blanks to write into, and nothing explains the circuit")
    add_bench_parser(command)
    _add_board(command)
    sizing = command("size", _size, "size fuses, wire, contacts and coils, and say what breaks a rule",
                     "Print what flows, what is lost, what each fuse guards and what breaks a rule of sizing. Leaves with 0 "
                     "when every rule is kept, with 1 when one is broken, with 2 for bad input.", of_one=True)
    sizing.add_argument("--table", metavar="TABLE", help="the ampacity table wires are held to (default: chassis wiring)")
    sizing.add_argument("--battery", metavar="AH", default="70", help="what the full battery holds, in Ah (default: 70)")
    keys = command("keys", _keys, "print what may stand in the file of a circuit: keys, units, terminals",
                   "Print the keys of one kind of table in the file of a circuit, with units, defaults and what is allowed, its terminals and an "
                   "example; without a kind, all of them.")
    keys.add_argument("kind", metavar="KIND", nargs="*", help="such as relay, LED lamp, wire or rule")
    _drawing_parsers(command)
    _add_faults_and_compare(command)
    add_find_parser(command)
    add_class_parsers(command)
    add_paper_parsers(command)
    start = command("start", _start, "copy the lessons into a folder of your own and open them",
                    "Copy the lessons into a folder of your own and open them in JupyterLab. "
                    "What is already in that folder is never overwritten.")
    start.add_argument("--folder", metavar="DIR", help="the folder (default: pin-thirty-lessons in your home folder)")
    start.add_argument("--no-browser", action="store_true", help="only print the address, open no browser")
    start.add_argument("--renew", action="store_true", help="move lessons of an earlier kit aside and put today's in their place")
    return parser


def _add_board(command):
    board = command("board", board_command, "open a circuit on a live board, an empty one to wire your own, or write a board in one file",
                    "Open a notebook that holds one live board in JupyterLab: of a circuit of the kit or an empty one in a folder of your own, of "
                    "a file of yours beside it. A notebook that is there is opened as it is. With --out: write one web page that needs neither "
                    "Python nor a network, for a phone or a projector: switches are worked by hand, lamps flash at their real rate, volts are told "
                    "at every terminal. Refused where there are too many rows or it grows too large; the sentence says how many. Ctrl+C stops it, "
                    "and it leaves with 130.")
    board.add_argument("arrangement", metavar="NAME_OR_FILE", nargs="?", help=f"{_ONE}; an empty board without it")
    board.add_argument("--find", action="store_true", help="a board to find a fault on, as find does; so opens a .case file as well")
    board.add_argument("--out", metavar="FILE", help="where to write a page, such as board.html")
    board.add_argument("--form", choices=tuple(FORMS), help="as for draw (default: current-path; an empty board opens attached)")
    board.add_argument("--folder", metavar="DIR", help="the folder for the notebook (default: beside the file, else pin-thirty-lessons in your "
                       "home folder)")
    board.add_argument("--no-browser", action="store_true", help="only print the address, open no browser")


def _command(commands, name, do, help, description=None, of_one=False):
    """Return the parser of a new command; ``of_one``: its first word is an arrangement."""
    parser = commands.add_parser(name, help=help, description=description)
    parser.set_defaults(do=do)
    if of_one:
        parser.add_argument("arrangement", metavar="NAME_OR_FILE", help=_ONE)
    return parser


def _drawing_parsers(command):
    drawing = command("draw", draw_command, "draw an arrangement into an .svg, .png or .pdf file",
                      "Draw an arrangement. Leaves with 0 when it is drawn, with 1 when the row given does not settle, "
                      "with 2 for bad input.", of_one=True)
    drawing.add_argument("--out", metavar="FILE", required=True, help="where to, ending in .svg, .png or .pdf")
    drawing.add_argument("--form", choices=("current-path", "attached"), default="current-path",
                         help="current-path: by the way of the current; attached: as the builder meets it")
    drawing.add_argument("--row", metavar="ROW", action="append", help="control positions, such as \"key=on, turn lever=left\"; "
                         "without it nothing is live")
    drawing.add_argument("--phase", choices=("on", "off"), default="on", help="of the flashers in that row (default: on)")
    drawing.add_argument("--view", choices=("wire side", "face"), default="wire side",
                         help="from where relay sockets are seen in the attached form")
    drawing.add_argument("--pins", choices=("A", "B"), default="A", help="pin order of the relays in the attached form")
    drawing.add_argument("--readings", action="store_true", help="write volts and amps on it; needs --row")
    drawing.add_argument("--pages", action="store_true", help="break a long sheet into FILE-1, FILE-2 and so on")
    look = drawing.add_mutually_exclusive_group()
    look.add_argument("--light", action="store_true", help="black on white (default)")
    look.add_argument("--dark", action="store_true", help="light on dark")

    contacts = command("contact-sheet", contact_sheet_command,
                       "draw every arrangement of the kit in both forms into a folder")
    contacts.add_argument("--out", metavar="DIR", required=True, help="the folder; made when it is not there")
    contacts.add_argument("--kind", choices=("svg", "png"), default="svg", help="kind of file (default: svg)")


def _add_faults_and_compare(command):
    fault_list = command("faults", print_faults,
                         "class every single fault in every row by what a driver behind would see",
                         "Print every single fault, worst first, with what is seen and the reading that reveals it. Leaves with "
                         "0 when all were looked at, with 2 for bad input, with 130 when stopped before the end (Ctrl+C prints "
                         "what there is).", of_one=True)
    fault_list.add_argument("--rule", metavar="RULE", action="append", help="a rule of the kit, a .toml file, or a sentence "
                            "for each lamp; it tells which lamps signal the same thing")
    fault_list.add_argument("--kind", metavar="KIND", action="append", help="only faults of this kind, such as 'blown lamp'; "
                            "may be given several times")
    fault_list.add_argument("--most", metavar="NUMBER", type=int, help="print only so many, the worst")
    comparing = command("compare", print_comparison, "say what sets two arrangements apart",
                        "Print the rows in which a lamp looks different, or clearly brighter or dimmer, and what differs in parts, wires, "
                        "currents and volts. "
                        "Leaves with 0 when every lamp looks the same in every row, with 1 when one does not, with 2 for bad "
                        "input.", of_one=True)
    comparing.add_argument("other", metavar="OTHER", help="what to compare it with")
    comparing.add_argument("--faults", action="store_true", help="class and compare every single fault of both as well")


def _arrangements(given):
    if given.others or given.out:
        raise ArrangementError("'arrangements' only lists them. To copy one into a file of your own, write: copy one-fused-lamp my-cart.toml.")
    names = arrangement_names()
    width = max((len(name) for name in names), default=0)
    for name in names:
        print(f"{name:{width}}  {arrangement(name).title}")
    return 0


def _copy(given):
    """Write an arrangement to a file for somebody to edit; return 0. [1]"""
    saved = save(opened(given.arrangement).planned(), given.out)
    print(f"The arrangement is in {saved}.{saved.before} It is plain text: wire on with 'board', or edit it, then prove it.")
    return 0


def _keys(given):
    from ..views.key_page import keys_text

    print(keys_text(" ".join(given.kind)))
    return 0


def _size(given):
    from ..reasoning.sizing import Limits, size
    from ..views.sizing_words import sizing_text

    limits = Limits(table=given.table) if given.table else Limits()
    sized = opened(given.arrangement)
    sizing = size(sized, limits, read_quantity(given.battery, "Ah"))
    print(sizing_text(sizing))
    return UNSETTLED if sizing.broken else 0


def _start(given):
    from .lab import lacking, open_lab
    from .lessons import copy_lessons, own_folder

    try:
        copied = copy_lessons(own_folder(given.folder), renew=given.renew)
    except ModuleNotFoundError as error:        # it comes with JupyterLab, and reads and writes notebooks
        raise lacking(error) from None
    print(f"The lessons are in {copied.folder}: {copied.sentence}", flush=True)
    open_lab(copied.folder, browser=not given.no_browser)
    return 0
