"""How fast a fault is found: all candidates solved at once beside each solved by itself, one reading told, the next one chosen, pairs.

    python tests/benchmarks/finding.py            the four-relay arrangement, two with a converter and the largest of the kit, some two minutes
    python tests/benchmarks/finding.py --short    a small one, to see that it runs
    python tests/benchmarks/finding.py --json     the same figures for a program to read

Swept anew means: every candidate before a fuse has gone and after it, whichever was solved before. By itself means: the candidate's circuit made and an operating point for every row and phase; of a sample of candidates,
evenly apart, times how many there are. A reading told is all of what happens until its causes stand in words, the first time
that it is told: read, weighed, its slips and spans looked for; nothing of what comes next. Time is that of the processor, on one core where OMP_NUM_THREADS=1 is set, the least
of several runs: compare the ratios, the machine changes all sides alike.
"""

import json
import sys
from dataclasses import replace
from pathlib import Path
from time import process_time

sys.path[:0] = [str(Path(__file__).resolve().parents[1]), str(Path(__file__).resolve().parents[2])]

from circuitlab.arrangements import arrangement, arrangement_names
from circuitlab.arrangements.rows import count_rows, phases_of, rows_of
from circuitlab.reasoning.finding.candidates import candidates_of
from circuitlab.reasoning.finding.finding import find
from circuitlab.reasoning.finding.pairs import pairs_solved
from circuitlab.reasoning.finding.told import read_taken
from circuitlab.reasoning.finding.solved import Solved, looked_at, solved
from circuitlab.reasoning.finding.shorting import after_blowing
from circuitlab.solving import operating_point
from circuitlab.solving.sweeping import Made, sweep

CART, CONVERTERS = "shared-filament-four-relays", ("trailer-4-flat-converter", "trailer-4-flat-converter-led")
SYMPTOMS = {"one-fused-lamp": "E1 dim when lamp switch on"} | dict.fromkeys(CONVERTERS, "trailer left dim when braking")
SAMPLE = 24     # candidates solved by themselves


def least(task, repeats):
    """Return the least seconds of several runs, and the last result. [s]"""
    taken = []
    for _ in range(repeats):
        begin = process_time()
        result = task()
        taken.append(process_time() - begin)
    return min(taken), result


def one_by_one(circuit, candidates):
    """Solve candidates each by itself, in every row and phase."""
    for each in candidates:
        broken = each.apply(circuit)
        for positions in rows_of(circuit):
            for phases in phases_of(circuit):
                operating_point(broken, positions, phases)


def compared(name, repeats):
    """Return the figures of one arrangement, times in seconds. [s]"""
    circuit = arrangement(name)
    candidates, symptom = candidates_of(circuit), SYMPTOMS.get(name, "rear left dim when braking")
    solved(circuit)         # tables of filaments are made once
    together, everything = least(lambda: Solved(circuit, candidates, looked_at(circuit)), repeats)
    twice, _ = least(lambda: swept_twice(everything, candidates), 1)
    sample = candidates[::max(1, len(candidates) // SAMPLE)]
    apart, _ = least(lambda: one_by_one(circuit, sample), 1)
    symptom_told, found = least(lambda: find(circuit, symptom), 1)
    following, _ = least(lambda: find(circuit, symptom).next, repeats)
    sentences = readings_of(circuit, found)
    found = find(replace(circuit), symptom)      # another record of it: nothing that made up the readings is known there
    told = {what: least(lambda: found.told(sentence).brief, 1)[0] for what, sentence in sentences.items()}
    held = lamp_held(find(replace(circuit), symptom), sentences["test lamp"])
    told["test lamp held there before"] = least(lambda: held.told(sentences["test lamp"]).brief, 1)[0]
    found = find(circuit, symptom, list(sentences.values())[:3])
    pairs, several = least(lambda: pairs_of(circuit, found), 1)
    alone = apart / len(sample) * len(candidates)
    return {"arrangement": name, "candidates": len(candidates), "rows": count_rows(circuit), "together": together, "twice": twice, "one by one": alone,
            "ratio": alone / together, "symptom": symptom_told, "told": told, "next": following, "offers": len(found.ahead.offers),
            "pairs": len(several.candidates), "pairs solved": pairs}


def swept_twice(everything, candidates):
    """Solve every candidate before a fuse has gone and every one after it, whichever was solved before or stands in one run with another."""
    read, rows, phases = everything.read, everything.rows, everything.phases
    found = after_blowing(read, rows, phases, candidates, [read, *(each.apply(read) for each in candidates)])
    sweep(read, rows, phases, [(Made(variant),) for variant in found.variants])


def readings_of(circuit, found):
    """Return a reading of each instrument at a place that may be asked for, as the likeliest cause has it, as sentences. [text]"""
    offer, weighing = next(each for each in found.ahead.offers if each.instrument == "meter"), solved(circuit).weighing
    red, black, fuse = offer.red, offer.black, next(part.name for part in circuit.parts if part.guards)
    when = str(found.symptoms[0]).partition(" when ")[2]
    likeliest = next(number for number, each in enumerate(weighing.solved.candidates, 1) if each.words == found.causes[0].words)

    def value(sentence):
        return weighing.likely_value(read_taken(sentence, circuit), likeliest)

    volts, amps, lamp = (f"from {red} to {black} when {when}", f"through {fuse} when {when}", f"at {red} when {when}")
    out = ", ".join(f"{part.name} out" for part in circuit.parts if part.shines or part.guards)
    return {"volts": f"{value(f'0 V {volts}'):.2f} V {volts}", "amps": f"{value(f'0 A {amps}'):.2f} A {amps}",
            "ohms": f"no way from {fuse}:2 to {circuit.zero}, {out}", "look": f"{fuse} whole",
            "test lamp": f"test lamp {value(f'test lamp dark {lamp}')} {lamp}"}


def lamp_held(found, sentence):
    """Return a finding that knows what a test lamp gives where a sentence has it, as a board works it out while leads are held there. [text]"""
    reading, everything = read_taken(sentence, found.arrangement).reading, solved(found.arrangement)
    everything.under_lamp(reading.red, reading.black, everything.row(reading.positions))
    return found


def pairs_of(circuit, found):
    """Return the pairs of candidates that are tried where no single one agrees with what was told, solved anew."""
    everything, odds = solved(circuit), [1.0] * len(solved(circuit).candidates)
    everything.last_pairs = None, None
    posterior = everything.weighing.posterior(odds, found.symptoms, found.taken)
    return pairs_solved(everything, odds, posterior, [each.positions for each in found.symptoms] + [each.reading.positions for each in found.taken])


def main(words=()):
    """Print the figures of each arrangement and return them."""
    names = ["one-fused-lamp"] if "--short" in words else [CART, *CONVERTERS, max(arrangement_names(), key=lambda name: (
        count_rows(arrangement(name)), len(arrangement(name).wires)))]
    found = [compared(name, 1 if "--short" in words else 3) for name in names]
    if "--json" in words:
        print(json.dumps(found, indent=2))
        return found
    for each in found:
        print(f"{each['arrangement']}: {each['candidates']} candidates in {each['rows']} rows")
        print(f"  solved together {each['together']:.2f} s, one by one {each['one by one']:.1f} s: {each['ratio']:.0f} x; every case swept anew "
              f"{each['twice']:.2f} s: {each['twice'] / each['together']:.2f} x")
        print(f"  a symptom told first {each['symptom']:.2f} s, the next reading chosen {1e3 * each['next']:.0f} ms")
        for what, seconds in each["told"].items():
            print(f"  a reading told, {what}: {1e3 * seconds:.1f} ms, {each['one by one'] / seconds:.0f} x faster than candidates one by one")
        print(f"  {each['pairs']} pairs solved in the rows told of in {each['pairs solved']:.2f} s, {each['one by one'] / each['pairs solved']:.0f} x "
              "faster than the candidates one by one in all rows")
    return found


if __name__ == "__main__":
    main(sys.argv[1:])
