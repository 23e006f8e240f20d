"""Which wrong idea of the table a wrong choice of a plain question speaks of, lesson by lesson.

Only choices that are that idea's own answer stand here; the others are counted
as what they are. A question of the ladder carries its ideas itself.
"""

_OPEN = {"about zero volts": "M6"}      # the switch is open, so there is nothing across it
_EMPTY = {"about zero volts": "M5"}     # no current flows, so there are no volts

CHOSEN_IDEAS = {
    "00": {"before-switch": _EMPTY, "across-open": _OPEN, "return-off": {"dead": "M5"}},
    "01": {"one-wire": {"it lights": "M7"}, "in-out": {"more in W3": "M1"}, "second-lamp": {"it stays": "M2"},
           "first-lamp": {"it goes dim": "M2"}, "bigger-fuse": {"the fuse": "M15"}},
    "02": {"socket": _EMPTY, "dark-and-live": {"both at zero": "M5"}, "open-switch": _OPEN},
    "03": {"shell": {"about zero volts": "M8"}, "behind": {"as bright as before": "M3"},
           "feed-or-ground": {"the one in the feed": "M3"}, "neighbours": {"as bright as before": "M4"}},
    "04": {"cold": {"yes, all the time": "M19"}, "drop": {"all of them": "M17"}},
    "05": {"ground-side": _EMPTY},
    "06": {"click": {"both, so the lamp is bad": "M10"}, "shelf": {"30 and 87": "M11", "both": "M12"},
           "operated": {"both": "M12"}, "seen-at-rest": {"E1": "M11", "both": "M12"},
           "bigger-lamp": {"it rises with the lamp's": "M10"}, "swapped": {"both": "M12"},
           "coil-ground": {"zero volts": "M5"}, "gap": {"30 to 87 and 30 to 87a": "M12"}},
    "07": {"break": {"only with both on": "M11"}, "rest": {"only with both on": "M11"}, "back": {"about zero volts": "M14"}},
    "08": {"meter": {"all the time": "M16"}},
    "09": {"joined": {"E1, E3": "M14"}, "way": {"there is none": "M14"},
           "both": {"clearly brighter": "M13"}},
    "10": {"volts": {"about twice": "M13"}, "front": {"E1, E2": "M14"}},
    "11": {"tie": {"flashing, brighter": "M13"}, "front": {"none": "M14"}},
}
