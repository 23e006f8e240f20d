"""Filament lamps against published ratings, the tungsten table, and measurements of stop lamps.

Curves at rest are read with a lamp of a twentieth of the watts, whose joints are then nothing (the curve has no scale).
Rises are read with the real bulb on real wires.
"""

from dataclasses import replace

import pytest

from circuitlab.parts import Battery, Control, Lamp, plunger_stop_switch
from circuitlab.solving import operating_point, run

from outside.small_circuits import agrees, circuit, watts

TUNGSTEN = "1925 tungsten table (Astrophysical Journal; also in the CRC handbook), R/R(300 K)"
RATIO = dict(zip(range(300, 3600, 100), (
    1.0, 1.43, 1.87, 2.34, 2.85, 3.36, 3.88, 4.41, 4.95, 5.48, 6.03, 6.58, 7.14, 7.71, 8.28, 8.86, 9.44, 10.03, 10.63,
    11.24, 11.84, 12.46, 13.08, 13.72, 14.34, 14.99, 15.63, 16.29, 16.95, 17.62, 18.28, 18.97, 19.66), strict=True))
RHO_2800 = 84.70e-8      # ohm m at 2800 K, same table
SHOMATE = (23.95930, 2.639680, 1.257750, -0.254642, -0.048407)   # NIST-JANAF, tungsten 298 to 1900 K [J/(mol K)]


def at_rest(volts, rated_volts=13.5, rated_watts=26.5, note=""):
    """Return the operating point of a lamp of a twentieth of the watts on a battery of the given volts."""
    return operating_point(circuit([Battery("G1", volts, 0.001), Lamp("E1", rated_volts, rated_watts / 20, note=note)],
                                   [("G1:+", "E1:1"), ("E1:2", "G1:-")]))


def amps(point):
    return point.current("E1") * 20


# --- ratings -------------------------------------------------------------------------------------------------------

RATINGS = [("Directive 97/24/EC and one maker's figures for a P21/5W", 13.5, 25.1, "1.86"),
           ("Directive 97/24/EC and one maker's figures for a P21/5W", 13.5, 5.9, "0.44"),
           ("US trade number 1157, catalogue figures", 12.8, 26.88, "2.10"),
           ("US trade number 1157, catalogue figures", 14.0, 8.26, "0.59"),
           ("US trade number 2057, catalogue figures", 14.0, 6.86, "0.49"),
           ("US trade number 1034, catalogue figures", 12.8, 23.04, "1.80")]


@pytest.mark.parametrize("volts, rated, printed", [
    pytest.param(*row, marks=pytest.mark.outside(source), id=f"{row[1]} W at {row[0]} V") for source, *row in RATINGS])
def test_a_lamp_draws_its_printed_current_at_its_printed_volts(volts, rated, printed):
    assert agrees(amps(at_rest(volts, volts, rated)), printed)
    assert not agrees(amps(at_rest(volts, volts, rated * 1.05)), printed), "5 % more watts must not pass"


# --- other volts than rated ----------------------------------------------------------------------------------------

def changes(volts_off, note=""):
    """Return the change of current, power and light for a change of the volts, all relative to rated."""
    rated, other = at_rest(13.5, note=note), at_rest(13.5 * (1 + volts_off), note=note)
    return (amps(other) / amps(rated) - 1, watts(other, "E1") / watts(rated, "E1") - 1,
            other.light("E1") / rated.light("E1") - 1)


def check_twelve_per_cent_less(note=""):
    current, power, light = changes(-0.12, note)
    assert current == pytest.approx(-0.07, abs=0.005) and power == pytest.approx(-0.18, abs=0.005)
    assert light == pytest.approx(-0.34, abs=0.015)


@pytest.mark.outside("published lamp figures: 12 % less voltage gives 7 % less current, 18 % less power, 34 % less "
                     "light")
def test_twelve_per_cent_less_voltage():
    """Printed digits for current and power; 1.5 points for the light, as the exponent 3.4 itself gives -35.2 %."""
    check_twelve_per_cent_less()


def test_the_check_finds_a_wrong_light_exponent(monkeypatch):
    monkeypatch.setattr("circuitlab.parts.lamp.LIGHT_POWER", 7.5)
    with pytest.raises(AssertionError):
        check_twelve_per_cent_less("planted light")


def exponents(volts, note=""):
    """Return the exponents of current, power and light between rated voltage and another."""
    from math import log
    return [log(1 + change) / log(volts / 13.5) for change in changes(volts / 13.5 - 1, note)]


def check_exponents(volts, note=""):
    """Current 0.55 +-0.02, power between the two published 1.55 and 1.6 (-0.02), light 3.4 to 3.5 (-0.02).

    The 0.02 below: the kit derives 0.54 and 1.54 from radiation and the tungsten table instead of being given them.
    """
    current, power, light = exponents(volts, note)
    assert 0.53 <= current <= 0.57 and 1.53 <= power <= 1.60 and 3.38 <= light <= 3.50


@pytest.mark.outside("lamp rerating: current U^0.55, power U^1.55 to U^1.6, light U^3.4 to U^3.5")
@pytest.mark.parametrize("volts", [11.0, 12.0, 12.8, 14.0, 14.4])
def test_the_rerating_exponents_hold_around_rated_voltage(volts):
    check_exponents(volts)


def test_the_check_finds_a_wrong_resistance_power(monkeypatch):
    monkeypatch.setattr("circuitlab.parts.lamp.RESISTANCE_POWER", 1.0)
    with pytest.raises(AssertionError):
        check_exponents(12.0, "planted resistance")


# --- cold and hot --------------------------------------------------------------------------------------------------

def hot_over_cold(kelvin, note=""):
    """Return the filament's resistance at a temperature over that at 300 K, from volts and currents alone."""
    low, high = 0.0, 60.0
    while high - low > 1e-6:
        volts = (low + high) / 2
        point = at_rest(volts, note=note)
        low, high = (low, volts) if point.temperature("E1") > kelvin else (volts, high)
    cold = at_rest(1e-3, note=note)
    return point.lamp_volts("E1") / point.current("E1") / (cold.lamp_volts("E1") / cold.current("E1"))


def check_tungsten(kelvin, note=""):
    """Within 4.5 %: the kit's single power 1.2 stays up to 4 % below the table, and says that it does."""
    assert hot_over_cold(kelvin, note) == pytest.approx(RATIO[kelvin], rel=0.045)


@pytest.mark.outside(TUNGSTEN)
@pytest.mark.parametrize("kelvin", [600, 1000, 1500, 2000, 2500, 2800, 3000])
def test_the_filament_follows_the_tungsten_table(kelvin):
    check_tungsten(kelvin)


def test_the_check_finds_the_linear_textbook_law(monkeypatch):
    """A law near R ~ T, which some textbooks extrapolate, must not pass."""
    monkeypatch.setattr("circuitlab.parts.lamp.RESISTANCE_POWER", 1.1)
    with pytest.raises(AssertionError):
        check_tungsten(2800, "planted resistance 2")


# --- switching on --------------------------------------------------------------------------------------------------

def stop_lamp(volts=13.5, lamp=None):
    """Return a stop lamp on its switch; 4 m of wire of 1.5 mm2."""
    lamp = lamp or Lamp("E1")
    return circuit([Battery("G1", volts, 0.008), plunger_stop_switch("S1", "pedal"), lamp],
                   [("G1:+", "S1:1"), ("S1:2", "E1:1"), ("E1:2", "G1:-")], [Control("pedal", ("released", "held"))],
                   length=1.3, area=1.5)


def switched_on(cart):
    return run(cart, [(0.0, "pedal", "held")], until=1.5)


def inrush(cart):
    """Return the current at the first instant over the settled one."""
    return switched_on(cart).at(0.0).current("E1") / operating_point(cart, {"pedal": "held"}).current("E1")


@pytest.mark.outside("lamp load notes of relay and switch makers: inrush 10 to 15 times the rated current")
@pytest.mark.parametrize("volts", [12.0, 12.8, 13.5, 14.4])
def test_the_inrush_is_ten_to_fifteen_times_the_settled_current(volts):
    assert 10 <= inrush(stop_lamp(volts)) <= 15


def test_a_lamp_that_starts_warm_has_too_little_inrush(monkeypatch):
    monkeypatch.setattr("circuitlab.parts.lamp.RESISTANCE_POWER", 0.9)
    assert not 10 <= inrush(stop_lamp(13.5, Lamp("E1", note="planted inrush"))) <= 15


def rise(cart):
    """Return the time to 90 % of the final light, and the share of it after 50 ms. [s], [1]"""
    course = switched_on(cart)
    final = course.light["E1"][-1]
    return (next(t for t, light in zip(course.times, course.light["E1"]) if light >= 0.9 * final),
            course.at(0.05).light("E1") / final)


def check_rise(cart):
    """0.25 s +-0.1 s: one figure for "ordinary" bulbs of unnamed type and voltage, and the kit fits nothing to it.

    "Nothing discernible" is read as less than 2 % of the final light.
    """
    ninety, after_fifty_ms = rise(cart)
    assert 0.15 <= ninety <= 0.35 and after_fifty_ms < 0.02


@pytest.mark.outside("UMTRI-93-37: an ordinary stop lamp bulb takes about 0.25 s to 90 % of its light; "
                     "road measurements: nothing discernible for about the first 50 ms")
@pytest.mark.parametrize("volts, lamp", [
    (12.8, Lamp("E1")), (13.5, Lamp("E1")), (12.8, Lamp("E1", 12.8, 26.88, "1157")),
    (13.5, Lamp("E1", 13.5, 25.0, "P21/5W"))],
                         ids=["P21W at 12.8 V", "P21W at 13.5 V", "1157 at 12.8 V", "P21/5W at 13.5 V"])
def test_a_stop_lamp_rises_as_measured(volts, lamp):
    check_rise(stop_lamp(volts, lamp))


@pytest.mark.parametrize("factor", [0.6, 1.6])
def test_the_check_finds_a_wrong_heat_capacity(monkeypatch, factor):
    monkeypatch.setattr("circuitlab.parts.lamp.SPECIFIC_HEAT", 163.0 * factor)
    with pytest.raises(AssertionError):
        check_rise(stop_lamp(13.5, Lamp("E1", note=f"planted heat {factor}")))


# --- heat capacity -------------------------------------------------------------------------------------------------

def measured_heat_capacity(lamp):
    """Return joules put in over kelvins gained in the first 3 ms, when next to nothing is radiated. [J/K]"""
    course = run(stop_lamp(13.5, lamp), [(0.0, "pedal", "held")], until=0.003)
    moments = [step * 1e-5 for step in range(301)]
    points = [course.at(moment) for moment in moments]
    power = [watts(point, "E1") for point in points]
    joules = sum((a + b) / 2 * 1e-5 for a, b in zip(power, power[1:]))
    return joules / (points[-1].temperature("E1") - points[0].temperature("E1"))


def tungsten_heat_capacity(lamp):
    """Return that of a tungsten wire with the lamp's resistance and radiation, found by solving for both at once. [J/K]

    Resistivity from the table, 0.75 of the surface seen, emissivity 0.33 (both from memory), specific heat at 1500 K
    from NIST-JANAF, density 19.3 g/cm3.
    """
    from math import pi

    from scipy.optimize import fsolve
    sigma, kelvin, molar_mass = 5.670374e-8, 2800.0, 0.18384

    def misses(logs):
        from numpy import exp
        diameter, length = exp(logs)
        resistance = RHO_2800 * length / (pi * diameter**2 / 4)
        radiated = 0.33 * 0.75 * sigma * kelvin**4 * pi * diameter * length
        return [resistance / (lamp.volts**2 / lamp.watts) - 1, radiated / lamp.watts - 1]
    from numpy import exp, log
    diameter, length = exp(fsolve(misses, log([1e-4, 0.05])))
    a, b, c, d, e = SHOMATE
    t = 1.5
    molar_heat = a + b * t + c * t**2 + d * t**3 + e / t**2
    return 19300 * pi * diameter**2 / 4 * length * molar_heat / molar_mass


@pytest.mark.outside(f"{TUNGSTEN[:20]}, Stefan-Boltzmann law, NIST-JANAF specific heat of tungsten at 1500 K")
@pytest.mark.parametrize("lamp", [Lamp("E1"), Lamp("E1", 13.5, 5.5, "R5W"), Lamp("E1", 12.8, 26.88, "1157")],
                         ids=["P21W", "R5W", "1157"])
def test_the_heat_a_filament_takes_is_that_of_its_tungsten(lamp):
    """Within 1 %: what is left is the radiation of the first 3 ms and the specific heat's third digit."""
    assert measured_heat_capacity(lamp) == pytest.approx(tungsten_heat_capacity(lamp), rel=0.01)
    half = lamp.with_value("watts", lamp.watts / 2)
    assert measured_heat_capacity(half) != pytest.approx(tungsten_heat_capacity(lamp), rel=0.01)
