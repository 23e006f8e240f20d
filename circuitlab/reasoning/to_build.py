"""What a builder has to know of a circuit beyond its list of parts: worked out once, for the build sheet to print."""

from dataclasses import dataclass

from ..parts import Flasher, FuseBlock, Lamp, Relay
from .bench_readings import BenchReadings, bench_readings
from .choosing.lacks import law_minds
from .choosing.traits import traits
from .flasher_loads import flasher_load
from .rows import LampTable
from .rows_at_once import lamp_table
from .sizing import fire_risks, guarding, survey

MOST_LOOKED = 1000      # rows, up to which the sheet looks for what the law may mind: the kit's own, for its time
UNDER_LAMP = {"live": "steady", "flashing": "flashing", "dead": "dark"}   # what a test lamp does where the rule is kept


@dataclass(frozen=True)
class ToBuild:
    """A circuit with everything that is solved for its build sheet.

    Attributes
    ----------
    arrangement : Arrangement
    table : LampTable
    fires : tuple of Finding
        What of the sizing may burn a wire.
    readings : BenchReadings
    switched : dict of str to FlasherLoad
        For each flasher that switches anything what it switches, by its name.
    fed : dict of str to tuple of str
        For each fuse of a fuse block the lamps, other takers and further fuses that it feeds in some row, by name. [text]
    minds : tuple of str
        What local code may mind of it, in short; nothing of one without a rule, or that does not signal stop and turn. [text]
    """

    arrangement: object
    table: LampTable
    fires: tuple
    readings: BenchReadings
    switched: dict
    fed: dict
    minds: tuple = ()

    @property
    def kicks(self):
        """Relays with nothing across the coil, and the flashers with electronics in them, both by name; empty where one of them is not there. [text]"""
        bare = [relay.name for relay in self.arrangement.of_kind(Relay) if relay.is_bare]
        reached = [flasher.name for flasher in self.arrangement.of_kind(Flasher) if not flasher.is_thermal]
        return (bare, reached) if bare and reached else ([], [])

    @property
    def looks(self):
        """Every row with the look expected of each lamp.

        A list of (dict, dict): positions of the controls, and look of each lamp: what the rule asks, or for a lamp
        without a rule what the lamp table has; then of a test lamp at each terminal the rule speaks of, empty where it
        asks nothing. [text]
        """
        wanted, unruled = self.arrangement.wanted, self.arrangement.unruled
        return [(row.positions, {lamp.name: row.cells[lamp.name].look if lamp.name in unruled else wanted(lamp.name, row.positions)
                                 for lamp in self.arrangement.of_kind(Lamp)}
                 | {name: UNDER_LAMP.get(wanted(name, row.positions), "") for name in self.arrangement.ruled_terminals})
                for row in self.table.rows]


def to_build(arrangement):
    """Return what the build sheet of an arrangement tells.

    Parameters
    ----------
    arrangement : Arrangement
        Of at most as many rows as :data:`~circuitlab.ground.limits.MOST_ROWS` says.

    Returns
    -------
    ToBuild
    """
    table = lamp_table(arrangement)
    loads = {flasher.name: flasher_load(flasher, table) for flasher in arrangement.of_kind(Flasher)}
    return ToBuild(arrangement, table, fire_risks(arrangement), bench_readings(arrangement), {name: load for name, load in loads.items() if load},
                   _fed(arrangement), _minds(arrangement, table))


def _minds(arrangement, table):
    """Return what local code may mind, where the arrangement has a rule and few enough rows. [text]"""
    if len(table.rows) > MOST_LOOKED or not any(lamp.name not in arrangement.unruled for lamp in arrangement.of_kind(Lamp)):
        return ()
    return law_minds(traits(arrangement))


def _fed(arrangement):
    """Return for each fuse of a block what takes current from a wire behind it, and the next fuses; what such a wire only gives a signal does not count. [text]"""
    fuses = [fuse.name for block in arrangement.of_kind(FuseBlock) for fuse in block.seats]
    if not fuses:
        return {}
    behind, found = guarding(survey(arrangement, played=False)).wires, {}
    taking = [part for part in arrangement.listed if any(branch.role.takes for each in (part, *part.seats) for branch in each.branches())]
    for name in fuses:
        ends = {end for wire in behind[name] for end in arrangement.part(wire).terminals}
        found[name] = (*(part.name for part in taking if ends & {f"{part.name}:{each}" for each in part.terminals if each not in _signals(part)}),
                       *(part.name for part in arrangement.parts if part.guards and part.name != name and ends & {*part.ends}))
    return found


def _signals(part):
    """Return the terminals of a part that only bring it a signal, as those of a converter with a supply of its own. [text]"""
    return {each for seat in part.seats for each in seat.signals} if part.own_feed else set()
