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
    "standing.tuned_to": "tuned to {to}",
    "standing.invented": "tuned to INVENTED swatches",
    "standing.measured": "tuned to measured swatches",
    "standing.common_practice": "calibrated to common practice, not measured",
    "standing.line": "Curve set {name}: {standing}.",
    "extrapolates.mixture": "Extrapolates: no swatch had {kind:code mixture}.",
    "extrapolates.span": "Extrapolates: {what} {worst:.4g}{unit}; swatches had {low:.4g} to "
    "{high:.4g}{unit}.",
    "extrapolates.lightened": "Extrapolates: no swatch had been lightened before.",
    "extrapolates.damp": "Extrapolates: no swatch was damp.",
    "extrapolates.level": "natural level",
    "extrapolates.on_head_volume": "strength on the hair",
    "extrapolates.minutes": "processing time",
    "extrapolates.ph": "pH",
    "extrapolates.temperature_c": "temperature",
    "extrapolates.fibre_um": "fibre diameter",
    "mixture.cream": "cream",
    "mixture.base-break": "base-break",
    "mixture.powder": "powder",
    "stage.red": "red",
    "stage.red-orange": "red-orange",
    "stage.orange": "orange",
    "stage.yellow-orange": "yellow-orange",
    "stage.yellow": "yellow",
    "stage.pale yellow": "pale yellow",
    "stage.palest yellow": "palest yellow",
    # ---- end of model
    # ---- practice: one strand
    "caution.allergy": "Allergy test 48 h before each use (a negative test is no guarantee), and a "
    "strand test first.",
    "caution.maker": "Follow the maker's directions and time limits; they come before any figure "
    "here.",
    "caution.pain": "Rinse at once on pain, burning or swelling. Keep off irritated or broken "
    "scalp.",
    "caution.gloves": "Wear gloves; keep away from eyes, rinse at once on contact. Not under 16.",
    "caution.estimate": "An estimate from calibrated assumptions: local rules and licensed "
    "practice decide.",
    "caution.too_long": "{minutes:g} min is longer than lighteners are left on (50 to 60 min at "
    "most, and never past the maker's limit).",
    "caution.heat": "Heat: scalp burns are reported with heated lighteners; watch closely.",
    "caution.persulfate": "Persulfate: keep off the scalp, do not breathe the dust; asthma is a "
    "no.",
    "caution.lightened": "Hair lightened before processes faster and breaks sooner; look early.",
    "goal.lab": "L* {lightness:g}, a* {a:g}, b* {b:g}",
    "goal.level": "level {level:g}",
    "goal.visible_lift": "a visible lift ({step:g} level)",
    "goal.match": "the {which:code blonde} blonde of {zone}, about level {level:.1f}",
    "blonde.darkest": "darkest",
    "blonde.lightest": "lightest",
    "goal.both": "a goal is a level or a CIELAB, not both",
    "goal.lab_name": "goal ",
    "goal.darker": "goal {goal} is darker than the hair (level {level:g}): lightening cannot "
    "darken; nearest: level {level:g}",
    "goal.form": "goal {value!r} is not a level (8), a CIELAB (60,5,20) or warmth=6",
    "quantity.goal_level.label": "goal level",
    "quantity.warmth_allowance.label": "warmth allowance",
    "quantity.limit_minutes.label": "time limit",
    "advice.none": "No change of strength, tone or goal gives a wider window.",
    "advice.weaker": "{volume:g} vol: the window lasts from {opens:.0f} to {closes:.0f} min.",
    "advice.more_tone": "{dye:code dye} tone {dose:g} in the mixture (now {now:g}): the window "
    "lasts from {opens:.0f} to {closes:.0f} min; the tone also darkens a little.",
    "advice.nearer_goal": "goal level {level:.1f} instead of {planned:.1f}: reached by "
    "{opens:.0f} min, too warm from {closes:.0f} min.",
    "advice.tone_afterwards": "lift on to {minutes:.0f} min and tone after rinsing: a "
    "{wheel:code wheel} toner must carry {beyond:.1f} dC* beyond the limit (goal: "
    "warmth={allowance:.0f}).",
    "advice.not": "not",
    "advice.only_at": "only at {minutes:.0f} min",
    "advice.stronger": "{goal} is {how} reached in {limit:.0f} min; {kind:code mixture} with "
    "{volume:g} vol reaches it at {minutes:.0f} min, within the maker's limits.",
    "advice.second_visit": "{goal} is not reached in {limit:.0f} min by any mixture tried, up to "
    "{kind:code mixture} with {volume:g} vol: plan a second visit.",
    "wheel.red": "red",
    "wheel.red-orange": "red-orange",
    "wheel.orange": "orange",
    "wheel.yellow-orange": "yellow-orange",
    "wheel.yellow": "yellow",
    "wheel.yellow-green": "yellow-green",
    "wheel.green": "green",
    "wheel.blue-green": "blue-green",
    "wheel.blue": "blue",
    "wheel.blue-violet": "blue-violet",
    "wheel.violet": "violet",
    "wheel.red-violet": "red-violet",
    "dye.violet": "violet",
    "dye.blue-violet": "blue-violet",
    "dye.blue": "blue",
    "dye.blue-green": "blue-green",
    "dye.green": "green",
    "pigment.eumelanin": "amount of eumelanin",
    "pigment.pheomelanin": "amount of pheomelanin",
    "pigment.half_oxidised": "amount of half-oxidised melanin",
    "tone.no_dyes": "no dye to choose from; there are: {known:list}",
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
    "file.at": "{what} {path}",
    "file.cannot_read": "cannot read {what} {path}: {reason}",
    "file.cannot_write": "cannot write {what} {path!r}: {reason}",
    "file.too_large": "{what} {path} is larger than {kilobytes:g} kB",
    "file.is_folder": "Is a directory",
    "file.not_regular": "it is not a regular file",
    "file.not_text": "it is not UTF-8 text",
    "file.bad_name": "no file can have such a name",
    "file.not_toml": "{place} is not valid TOML: {reason}",
    "file.not_json": "{place} is not JSON: {reason}",
    "file.cannot_parse": "{place} cannot be read as {kind}: {reason}",
    "file.too_deep": "it is nested too deeply",
    "file.too_many_digits": "a number in it has too many digits",
    # ---- end of files
    # ---- show: terminal
    "preview.head": "[bold]{kind:code mixture}, {volume:g} vol[/] on {hair:list} \u2014 after "
    "[bold]{minutes:g} min[/]",
    "preview.colour.label": "Colour",
    "preview.level.label": "Level",
    "preview.underpigment.label": "Underpigment",
    "preview.warmth.label": "Warmth",
    "preview.risk.label": "Too warm?",
    "preview.window.label": "Window",
    "preview.tone.label": "Tone",
    "preview.axis": "{axis} {median:.0f} ({low:.0f} to {high:.0f})",
    "preview.level": "{median:.1f} ({low:.1f} to {high:.1f}), lift {lift:.1f} levels",
    "preview.underpigment": "{stage:code stage}, hue {hue:.0f} degrees",
    "preview.warmth": "{median:+.1f} dC* ({low:+.1f} to {high:+.1f}); limit {limit:+.1f}",
    "preview.risk": "{risk:code risk}: {p:chance}",
    "preview.try": "  Try: {advice}",
    "preview.bar": "0 {marks} {end:.0f} min",
    "preview.bar_key": "= inside   ! too warm   ^ now   > now, past the limit",
    "risk.low": "LOW RISK",
    "risk.watch": "WATCH",
    "risk.high": "HIGH RISK",
    "risk.too_warm": "TOO WARM",
    "window.none": "NO WINDOW: {goal} {reached}, too warm {warm}",
    "window.not_reached": "not reached",
    "window.reached": "at {minutes:.1f} min",
    "window.never_warm": "never",
    "window.warm_from": "from {minutes:.1f} min",
    "window.between": "{opens:.1f} to {closes:.1f} min{late}, {end}; best {best:.1f} min: "
    "{p:chance} inside",
    "window.late": " ({low} to {high})",
    "window.time": "{minutes:.1f}",
    "window.later": "later",
    "window.ends_limit": "time limit",
    "window.ends_warm": "then too warm",
    "tone.none_needed": "none needed (difference {amount:.1f}, below what is noticed)",
    "tone.answer": "{wheel:code wheel} answers {excess:code wheel}; amount {amount:.1f}, CIELAB "
    "{hue:.0f} degrees, Munsell {munsell}",
    "terminal.caution": "  ! {caution}",
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
