"""What stands above the causes of a finding: what kind of list it is, by which odds, and that nothing agrees where nothing does."""

from ..ground.errors import listed

MOST_ASKED = 2      # other rows that are asked for


def head_words(finding):
    """Return what the list of causes is, in a sentence. [text]"""
    if finding.none_agrees:
        return f"{_none_agrees_words(finding)}{_list_words(finding)}"
    return _list_words(finding)


def _none_agrees_words(finding):
    """Say that nothing on the list agrees with what was told, and ask for the controls that would make it right. [text]"""
    asked = [f"'{each.told}' is what the sound circuit shows {each.row}: was {listed(f'the {name}' for name in each.besides)} on as well? Then tell it so."
             for each in finding.elsewhere[:MOST_ASKED]]
    return " ".join(["Nothing on the list agrees with what was told.", *(asked or ["Look again, or tell it in other positions of the controls."]), ""])


def _list_words(finding):
    """Return what is listed, and by which odds. [text]"""
    column = f"'{finding.odds}'" if isinstance(finding.odds, str) else "your own table"
    odds = f"odds by {column}, an assumption"
    if not finding.causes:
        return f"No cause is left: nothing on the list agrees with what was told ({odds}). Take back what you are least sure of, or read it again."
    if finding.is_as_sound:
        return (f"All of it is what the sound circuit shows: nothing is wrong there so far. Say what is wrong, or read on; what would not show yet, "
                f"likeliest first ({odds}):")
    if finding.is_of_pairs:
        return f"No single fault agrees with all of it. Two at once that do, likeliest first ({odds}):"
    return f"What may be at fault, single faults, likeliest first ({odds}):"
