"""Charts to glue on the lids: what sits in each way of a fuse block and what it feeds, and what is on each stud of a distribution block."""

from ...parts import DistributionBlock, FuseBlock
from ...parts.fuse_block import SPARE
from ..grid import Grid
from ..style import named, safe
from .lists import FILL


def ways(built, blank=False):
    """Return a chart for every fuse block and distribution block, nothing without one; ``blank``: what a way feeds is written in. [HTML]"""
    arrangement = built.arrangement
    blocks = [(block, Grid(f"Ways of {block.name}", ("way", "fuse", "wire", "feeds"), _ways(arrangement, block, built.fed, blank)))
              for block in arrangement.of_kind(FuseBlock)]
    blocks += [(block, Grid(f"Studs of {block.name}", ("bar", "stud", "wire"), _studs(arrangement, block))) for block in arrangement.of_kind(DistributionBlock)]
    return "".join(f'<div class="chart"><h3>{safe(named(block))}: to glue on its lid</h3>{grid.html("ways")}</div>' for block, grid in blocks)


def chart_lines(arrangement):
    """Return how many lines the charts take on the page, about, beside the sockets. [1]"""
    rows = [len(block.numbers) + len(block.rails) for block in arrangement.of_kind(FuseBlock)] + [len(block.terminals) for block in arrangement.of_kind(DistributionBlock)]
    return sum(rows)


def _ways(arrangement, block, fed, blank):
    fuses, rows = {fuse.way: fuse for fuse in block.seats}, []
    for rail, numbers in block.rails.items():
        rows.append((f"feed {rail}", "", _wires(arrangement, block, rail), ""))
        for way in numbers:
            fuse = fuses.get(way)
            told = ", ".join(_fed(arrangement.part(name)) for name in fed.get(fuse.name, ())) if fuse else ""
            held = f"{fuse.rating:g} A{f' {fuse.family}' * (fuse.family != 'blade')}" if fuse else SPARE
            rows.append((way, held, _wires(arrangement, block, way), FILL if blank and fuse else told))
    return rows


def _fed(part):
    return f"fuse {part.name}" if part.guards else named(part)


def _studs(arrangement, block):
    return [(bar, stud, _wires(arrangement, block, stud)) for bar, studs in block.studs.items() for stud in studs]


def _wires(arrangement, block, terminal):
    """Return the wires on a terminal, each with its colour and where it goes, else that there is none. [text]"""
    here, said = f"{block.name}:{terminal}", []
    for wire in (arrangement.part(name) for name in arrangement.wires_at[here]):
        other = wire.end if wire.start == here else wire.start
        said.append(" ".join(filter(None, (wire.name, wire.colour, "to", other))))
    return ", ".join(said) or "no wire"
