"""What a repairer tells of a fault: the closed list of looks, what is said besides, and the forms of the sentences."""

ONLY_SOMETIMES, WITH_TRAILER, SINCE_RAIN = SAID_BESIDES = ("only sometimes", "only with the trailer", "since it rained")
LOOKS = ("dark", "dim", "steady", "flashing", "fast", "slow", "flickers", "glows", "too bright")
AS_IT_SHALL = ("good", "fine", "ok", "okay", "right", "normal", "working", "work", "works", "it works", "yes", "as it should", "as it shall be")     # of a lamp, or of a row
SAME = {"weaker": "dim", "dimmer": "dim", "fainter": "dim", "darker": "dim", "faster": "fast", "quicker": "fast", "slower": "slow",
        "out": "dark", "dead": "dark", "off": "dark", "weak": "dim", "faint": "dim", "on": "steady", "lit": "steady", "good": "steady",
        "flash": "flashing", "flashes": "flashing", "blinks": "flashing", "blinking": "flashing", "flicker": "flickers",
        "flickering": "flickers", "bright": "too bright", "brighter": "too bright", "glaring": "too bright", "glares": "too bright", "glow": "glows", "glowing": "glows", "quick": "fast", "slowly": "slow"}
BRIGHTNESS = ("bright", "dim", "dark")       # of a test lamp
SYMPTOM_FORMS = {
    "rear left dim when braking": "a lamp by its name or place; one of " + ", ".join(LOOKS) + "; the controls",
    "rear left too bright when braking": "of a tail lamp also: tail lamp brighter than brake lamp",
    "E1 dark when turn left and stop, only sometimes": "several controls; and one of " + ", ".join(SAID_BESIDES) + " behind it",
    "E2 steady when braking": "what is as it should be, told beside what is not",
}
WHOLE_FORMS = {
    "no brake lights": "every lamp that the pedal lights is dark; so also turn signals, tail lamps, hazard, trailer lights",
    "right brake light weaker than the left": "of one side, and that the other is as it shall be",
    "no turn signals at all, the brake lights are fine": "several clauses, told one by one",
    "all dark when braking": "every lamp that shall be lit there; without a row, every lamp where it shall",
}
READING_FORMS = {
    "10.6 V at K1:87a when braking": "red lead there, black on the battery's pole on the frame",
    "1.8 V from X3:2 to K1:87a when braking": "red lead first: what is lost between the two",
    "test lamp dim at K1:87a when braking": "bright, dim or dark",
    "display jumps at K1:30 when turn left, while K9 on": "nothing steady: something buzzes",
    "3.7 A through F1 when braking": "the meter in its place",
    "12 V at K9:49a when turn left, while K9 on": "a flasher held still, or read on MAX for on, MIN for off",
    "12 V at pin 6 of the socket when braking": "at a connector, mated and read from behind: its socket on the vehicle or its plug",
    "0.4 ohm from F1:2 to X1:1, W4 lifted at X3:2, E1 out": "battery off; what is lifted and which lamps are out",
    "no way from F1:2 to X1:1": "over the range",
    "F1 whole": "a fuse or a bulb seen: whole or blown; in a way of a block also missing",
    "F2 blown when turn left": "which row it went in, where that was seen",
    "fuse 1 blows with the brake": "the same as a customer says it: shorts on what is live then, and not before, come first",
    "F2 blown again": "a new one went as well",
    "1.8 V at E1:2 when braking, not sure": "counts for less",
    "cannot get at X3:2": "no lead is put there",
}
