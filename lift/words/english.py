"""What lift says, in English: every sentence, label and heading, once.

A code is ``room.thing``; rooms stand in the order of the house, codes in the order of use. Another
language is a module like this one with the same codes.
"""

SENTENCES: dict[str, str] = {
    # ---- parts of sentences
    "text": "{text}",
    "list.comma": ", ",
    "chance": "{p:chance}",
    "chance.few": "fewer than 1 in 100",
    "chance.most": "more than 99 in 100",
    "chance.count": "{count:.0f} in 100",
    # ---- errors of every kind
    "range.unit": " {unit}",
    "range.nearest": "; nearest: {value:g}{unit}",
    "range.hint": "; {hint}",
    "range.outside": "{name} {value:g}{unit} is outside {low:g} to {high:g}{unit}{nearest}{hint}",
    "range.no_number": "{name} {value!r} is not a number; allowed: {low:g} to {high:g}{unit}{hint}",
    "range.not_one": "{name} {value!r} is not one number; allowed: {low:g} to {high:g}{unit}",
    "choice.unknown": "{name} {value!r} is not one of {known:list}{meant}",
    "choice.meant": "; did you mean {near}?",
    # ---- quantities: label, help, and what is said of a value
    # ---- end of quantities
    # ---- optics
    # ---- end of optics
    # ---- chemistry
    # ---- end of chemistry
    # ---- model
    # ---- end of model
    # ---- practice: one strand
    # ---- end of practice: one strand
    # ---- practice: toning
    # ---- end of practice: toning
    # ---- practice: service
    # ---- end of practice: service
    # ---- practice: trial and records
    # ---- end of practice: trial and records
    # ---- research: evidence
    # ---- end of research: evidence
    # ---- research: swatches
    # ---- end of research: swatches
    # ---- research: tuning, posterior, planning
    # ---- end of research: tuning, posterior, planning
    # ---- files
    # ---- end of files
    # ---- show: terminal
    # ---- end of show: terminal
    # ---- show: plots
    # ---- end of show: plots
    # ---- show: lesson
    # ---- end of show: lesson
    # ---- show: card and report
    # ---- end of show: card and report
    # ---- show: page
    # ---- end of show: page
    # ---- command line
    # ---- end of command line
}
