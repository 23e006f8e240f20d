"""Records spoiled by chance, the same for the same seed: by a bad disk, a crash, an editor, a hand, another kit."""

import json
from random import Random

VALUES = (None, True, 5, -1, 0, 2 ** 70, -0.5, "", " ", "\0", "\ud800", "x" * 5000, [], ["x"], [[]], {}, {"E1": 5}, {"E1": ["dark"]},
          {"E1": {"steady": 1, "dark": 2}}, {"a": {"b": {"c": [1]}}}, "nan", "tried", "rear", "9" * 400)
RAW = ("NaN", "-Infinity", "1e999", "9" * 5000, "[" * 3000, "[" * 3000 + "]" * 3000, '{"a":' * 900 + "1" + "}" * 900, '"\\ud83d"',
       '"\\u0000"', "tru", "'x'")
JUNK = (b"\0" * 512, b"[" * 100_000, b"null", b"[1]", b'"x"', b"\xff\xfe\x00", b"{}", b"x" * 1_200_000, b"\r", b"\xef\xbb\xbf",
        "\N{LINE SEPARATOR}".encode())


def mutated(record, seed):
    """Return a record's bytes after one to four spoilings."""
    chance = Random(seed)
    for _ in range(chance.choice((1, 1, 2, 3, 4))):
        record = chance.choice(SPOILINGS)(chance, record)
    return record


def _flip(chance, record):
    record = bytearray(record)
    for _ in range(chance.randint(1, 12) if record else 0):
        record[chance.randrange(len(record))] ^= 1 << chance.randrange(8)
    return bytes(record)


def _cut(chance, record):
    start = chance.randrange(len(record) + 1)
    return record[:start] + record[start + chance.choice((1, 40, 400, 10 ** 6)):]


def _lines(do):
    def spoil(chance, record):
        lines = record.split(b"\n")
        do(chance, lines, chance.randrange(len(lines)))
        return b"\n".join(lines)
    return spoil


def _edited(do):
    """Return a spoiling of one line's event; a line that is none stays as it is."""
    def edit(chance, lines, at):
        try:
            event = json.loads(lines[at])
            lines[at] = do(chance, event).encode("utf-8", "surrogatepass")
        except (ValueError, AttributeError, TypeError, RecursionError, IndexError):
            pass
    return _lines(edit)


def _put(chance, event):
    event[chance.choice([*event, "more"])] = chance.choice(VALUES)
    return json.dumps(event)


def _put_raw(chance, event):
    key = chance.choice([*event])
    return json.dumps({**event, key: "HERE"}).replace('"HERE"', chance.choice(RAW))


def _swap(chance, event):
    one, two = chance.choice([*event]), chance.choice([*event])
    event[one], event[two] = event[two], event[one]
    return json.dumps(event, ensure_ascii=False)


def _drop(chance, event):
    del event[chance.choice([*event])]
    return json.dumps(event)


def _another(chance, event):
    field, values = chance.choice((("event", ("predicted", "noted", "tried", "helped", "renewed", "held", "checked", "weighed")),
                                   ("item", ("rear", "open", "rows", "trace", "ticket", "exit")), ("seed", (1, 2, 3, 2 ** 40)),
                                   ("lesson", ("02", "")), ("kit", ("0.0.9", "99.0", ""))))
    return json.dumps({**event, field: chance.choice(values)})


def _junk(chance, lines, at):
    lines.insert(at, chance.choice(JUNK))


def _double(chance, lines, at):
    lines[at:at] = lines[at:at + chance.randint(1, 5)] * chance.choice((1, 1, 20))


def _exchange(chance, lines, at):
    other = chance.randrange(len(lines))
    lines[at], lines[other] = lines[other], lines[at]


def _join(chance, lines, at):
    lines[at:at + 2] = [b"".join(lines[at:at + 2])]


SPOILINGS = (_flip, _flip, _cut, _cut, _edited(_put), _edited(_put), _edited(_put), _edited(_put_raw), _edited(_put_raw),
             _edited(_swap), _edited(_drop), _edited(_another), _edited(_another), _lines(_junk), _lines(_double),
             _lines(_exchange), _lines(_join), lambda chance, record: record.replace(b"\n", b"\r\n"),
             lambda chance, record: b"\xef\xbb\xbf" + record,
             lambda chance, record: record.decode("utf-8", "replace").encode(chance.choice(("utf-16", "utf-8-sig", "latin-1")),
                                                                            "replace"))
