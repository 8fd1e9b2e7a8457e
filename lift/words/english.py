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
    "quantity.not_flag": "{name} {value!r} is not true or false",
    "quantity.not_whole": "{name} {value:g} is not a whole number",
    "quantity.no_word": "{name} {value!r} is not {known:list} nor a number of {low:g} to "
    "{high:g} {unit}",
    "quantity.not_lab": "{name} {value!r} is not three numbers L*,a*,b*",
    "quantity.lab.form": "colour {value!r} is not L*,a*,b* as in 55,9,25",
    "quantity.lab.label": "CIELAB",
    "quantity.lab.axis": "{name}{axis}",
    "quantity.level.label": "natural level",
    "quantity.level.help": "Natural level, {low:g} (black) to {high:g} (lightest blond).",
    "quantity.level.said": "natural level {value:g}",
    "quantity.fibre_um.label": "fibre diameter",
    "quantity.fibre_um.help": "{words:list}, or diameter in micrometres ({low:g} to {high:g}).",
    "quantity.fibre_um.said": "{value:g} um",
    "quantity.damp.label": "damp hair",
    "quantity.damp.help": "Damp hair: it dilutes the mixture.",
    "quantity.damp.said": "damp",
    "quantity.pheomelanin_share.label": "pheomelanin share",
    "quantity.pheomelanin_share.help": "Red hair: a third of its melanin is pheomelanin.",
    "quantity.pheomelanin_share.said": "pheomelanin {value:.0%}",
    "quantity.grey_percent.label": "grey",
    "quantity.grey_percent.help": "Unpigmented fibres, {low:g} to {high:g} %.",
    "quantity.grey_percent.said": "{value:g} % grey",
    "quantity.lightened_to.label": "earlier lightening, level",
    "quantity.lightened_to.help": "Level it was lightened to before today, {low:g} to {high:g}.",
    "quantity.lightened_to.said": "lightened before to {value:g}",
    "quantity.kind.label": "mixture",
    "quantity.kind.help": "Class of mixture: {words:list}.",
    "quantity.volume.label": "developer volume",
    "quantity.volume.help": "Developer, {low:g} to {high:g} vol; or several by parts, 10:2,20:1.",
    "quantity.developer_parts.label": "developer parts",
    "quantity.developer_parts.help": "Parts of developer to one of product, {low:g} to {high:g}.",
    "quantity.ph.label": "pH",
    "quantity.ph.help": "pH on the hair, {low:g} to {high:g}.",
    "quantity.boost.label": "boost",
    "quantity.boost.help": "Factor that persulfate puts on the rate, {low:g} to {high:g}.",
    "quantity.temperature_c.label": "temperature",
    "quantity.temperature_c.help": "On the hair, {low:g} to {high:g} C.",
    "quantity.tone.label": "tone in the mixture",
    "quantity.tone.help": "Tone in the mixture, doses by dye: violet=2,blue=1; none: no tone.",
    "quantity.tone_minutes.label": "tone minutes",
    "quantity.tone_minutes.help": "Time constant with which tone forms, {low:g} to {high:g} min.",
    "quantity.minutes.label": "processing time",
    "quantity.minutes.help": "Processing time, {low:g} to {high:g} min.",
    "quantity.rinse_minutes.label": "rinse time",
    "quantity.rinse_minutes.help": "Planned rinse, {low:g} to {high:g} min.",
    "quantity.members.label": "members",
    "quantity.coverage.label": "coverage",
    "quantity.level_now.label": "level",
    "quantity.level.form": "Natural level",
    "quantity.fibre_um.form": "Fibre",
    "quantity.damp.form": "Damp hair",
    "quantity.pheomelanin_share.form": "Red hair",
    "quantity.grey_percent.form": "Grey",
    "quantity.lightened_to.form": "Lightened before, to level",
    "quantity.kind.form": "Mixture",
    "quantity.volume.form": "Developer",
    "quantity.developer_parts.form": "Parts of developer",
    "quantity.ph.form": "pH on the hair",
    "quantity.temperature_c.form": "Temperature",
    "quantity.tone.form": "Tone in the mixture",
    "quantity.minutes.form": "Minutes",
    "quantity.goal.form": "Goal",
    "quantity.goal.label": "goal",
    "quantity.goal.help": "8, or 60,5,20, or warmth=6, or 8 warmth=6.",
    "quantity.strand.form": "Use my strand test",
    "quantity.strand.label": "strand",
    "quantity.strand.help": "Use the kept strand test.",
    # ---- end of quantities
    # ---- optics
    # ---- end of optics
    # ---- chemistry
    # ---- end of chemistry
    # ---- model
    "hair.field": "hair field",
    "hair.lightened_darker": "earlier lightening to level {to:g} is darker than the natural level "
    "{level:g}; nearest: {level:g}",
    "mixture.field": "mixture field",
    "mixture.dye": "dye",
    "mixture.dose_of": "dose of {dye}",
    "mixture.tone_form": "tone {value!r} is not DYE=DOSE, as in violet=2",
    "mixture.parts_of_developer": "parts of developer",
    "mixture.developer_and_parts": "developer and parts",
    "mixture.several_form": "several developers are given as ((volume, parts), ...)",
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
    "file.card": "card",
    "file.curve_set": "curve set",
    "file.notebook": "notebook",
    "file.page": "page",
    "file.picture": "picture",
    "file.records": "records",
    "file.scenario": "scenario",
    "file.strand": "strand file",
    "file.swatches": "swatches",
    "file.table": "table",
    "file.cannot_read": "cannot read {what} {path}: {reason}",
    "file.cannot_write": "cannot write {what} {path!r}: {reason}",
    "file.too_large": "{what} {path} is larger than {kilobytes:g} kB",
    "file.is_folder": "Is a directory",
    "file.not_regular": "it is not a regular file",
    "file.not_text": "it is not UTF-8 text",
    "file.bad_name": "no file can have such a name",
    "file.not_toml": "{what} {path} is not valid TOML: {reason}",
    "file.not_json": "{what} {path} is not JSON: {reason}",
    "file.too_deep": "it is nested too deeply",
    "file.too_many_digits": "a number in it has too many digits",
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
    "page.too_long": "{field} has {count} characters; allowed: up to {longest}",
    # ---- end of show: page
    # ---- command line
    "cli.metavar.level": "N",
    "cli.metavar.fibre_um": "WORD|UM",
    "cli.metavar.grey_percent": "PERCENT",
    "cli.metavar.lightened_to": "N",
    "cli.metavar.kind": "KIND",
    "cli.metavar.volume": "VOL",
    "cli.metavar.developer_parts": "X",
    "cli.metavar.ph": "PH",
    "cli.metavar.temperature_c": "C",
    "cli.metavar.tone": "DYE=DOSE,...",
    "cli.metavar.minutes": "MIN",
    "cli.metavar.rinse_minutes": "MIN",
    "cli.option.goal": "A level (8), a CIELAB (60,5,20), a warmth allowance (warmth=6), or "
    "'8 warmth=6'.",
    "cli.option.curves": "Curve set (TOML).",
    "cli.option.json": "Print JSON.",
    "cli.option.plot": "Draw to a .png, .svg or .pdf file.",
    "cli.picture_ending": "picture {value!r} does not end in {known:list}",
    "cli.picture_folder": "folder {folder!r} of picture {name!r} does not exist",
    "cli.picture_drawn": "Picture: {path}",
    "cli.fitting": "fitting",
    "cli.preview.short": "Colour, window, risk and tone for one strand.",
    "cli.preview.help": "Preview what lightening exposes on one strand, and when it is too warm.",
    "cli.preview.strand": "What a strand test showed (lift strand --save).",
    # ---- end of command line
}
