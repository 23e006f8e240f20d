"""What a meter reads and what a test lamp leaves, at every terminal: live, ghost, dead or floating.

* *Live*: at least 1 V off the battery's minus stays under the test lamp.
* *Ghost*: at least 1 V on a 10 megohm meter, gone under the test lamp.
* *Dead*: neither. *Floating*: no conducting way to the battery's minus.

Meter and test lamp are branches of the circuit. Contacts stay as they stand, filaments too at a moment of a time
course; everything else finds its new rest. That is solved outright, with the leads' own slots in the elimination
(:attr:`Network.with_leads`), because a source that is no plain resistance cannot be told from its volts and their
slope: a point fed by a blocked diode alone has volts until the lightest load takes them.

For most points nothing needs to be solved. A load draws a point towards the battery's minus by its current times what
the source has inside. Whatever the devices do on the way from the one state to the other, each is a resistance between
the two, a filament one of no more than its curve is flat with all the batteries' volts across it, so the source has no
more inside than the best single way over wires, contacts and filaments (:meth:`Contacts.away`): where that
much cannot take the volts below 1 V, the point is live. And where one point was solved, others that hang on it by a way
of little resistance have the same word, as long as that way's volts cannot make the difference.
"""

from ..parts.instruments import LAMP_VOLTS, LAMP_WATTS, Meter, Ohmmeter, TestLamp

LIVE = 1.0                                     # V above battery minus that a point must keep to be called live
UNSEEN = 2e-4                                  # V, less than the last digit of any meter on the bench
METER, TEST_LAMP, OHMMETER = Meter(), TestLamp(LAMP_WATTS, LAMP_VOLTS), Ohmmeter()


class Metering:
    """What instruments show at one operating point.

    Parameters
    ----------
    contacts : Contacts
        With the volts of every point [V] and whether each is joined to the battery's minus.
    held : tuple of float or None
        Conductance of every filament, where they are held as warm as they are. [S]
    """

    def __init__(self, contacts, volts, grounded, held=None):
        self.contacts, self.volts, self.grounded, self.held = contacts, volts, grounded, held
        self._away, self._words, self._read, self._near = contacts.away(), {}, {}, {}

    def reading(self, red, black, instrument, highest=False):
        """Return what is left between two points under an instrument. [V]

        Parameters
        ----------
        red, black : int
            Both joined to the battery's minus. [1]
        instrument : Device
        highest : bool
            With blocked diodes leaking as much as their sheets allow. [yes/no]
        """
        across = self.volts[red] - self.volts[black]
        amps = abs(instrument.settled_current(across)[0])
        if red == black or not highest and amps * (self._away[red] + self._away[black]) < UNSEEN:
            return across
        beside = red if highest else self._beside(red, black, amps)
        key = beside, black, instrument, highest
        if key not in self._read:
            self._read[key] = self.loaded(*key)
        return self._read[key] + self.volts[red] - self.volts[beside]

    def loaded(self, red, black, instrument, highest=False):
        """Return the same, solved outright; the two points may float together. [V]"""
        laws = [law.leakiest if law else None for law in self.contacts.laws] if highest else None
        more = self.contacts.touched(red, black, instrument, self.volts, laws)
        volts = more.settled()[0] if self.held is None else more.volts(self.held)
        return volts[-2] - volts[-1]

    def _beside(self, red, black, amps):
        """Return the first point at the same volts that hangs together with one by too little to be seen. [1]"""
        key = red, black, amps
        if key not in self._near:
            self._near[key] = next(other for other, ohms in enumerate(self.contacts.away(red)) if other != black
                                   and 2 * ohms * amps + abs(self.volts[other] - self.volts[red]) < UNSEEN)
        return self._near[key]

    def word(self, point):
        """Return live, ghost, dead or floating for a point. [text]"""
        if point not in self._words:
            volts = abs(self.volts[point])
            if not self.grounded[point]:
                self._words[point] = "floating"
            elif volts < LIVE:
                self._words[point] = "dead"
            elif volts - TEST_LAMP.settled_current(volts)[0] * self._away[point] >= LIVE:
                self._words[point] = "live"
            else:
                self._words |= self._solved(point)
        return self._words[point]

    def _solved(self, point):
        """Return the word of a point and of all that are too near to have another. [text]"""
        left = abs(self.reading(point, 0, TEST_LAMP))
        shown = left if left >= LIVE else abs(self.reading(point, 0, METER))
        word, volts = "live" if left >= LIVE else "ghost" if shown >= LIVE else "dead", abs(self.volts[point])
        amps, words = [each.settled_current(volts)[0] for each in (TEST_LAMP, METER)], {point: word}
        for other, ohms in enumerate(self.contacts.away(point)):
            if other not in self._words and self.grounded[other] and abs(self.volts[other]) >= LIVE:
                apart = abs(self.volts[other] - self.volts[point])
                doubt = [apart + 2 * ohms * each for each in amps]
                if abs(left - LIVE) > doubt[0] and (word == "live" or abs(shown - LIVE) > doubt[1]):
                    words[other] = word
        return words

    def may_be_ghost(self, point):
        """Tell whether a dead point that has volts until something touches it is a ghost at the highest leakage."""
        return (abs(self.volts[point]) >= LIVE and self.word(point) == "dead"
                and abs(self.reading(point, 0, METER, True)) >= LIVE)
