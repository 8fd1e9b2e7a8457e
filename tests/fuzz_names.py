"""Every public name is called with what it does not take: wrong types, shapes, order, sizes.

``python tests/fuzz_names.py 20000`` (`make fuzz`) calls so many; the suite calls fewer of the same.
Each call begins as one that works, and one or two of its arguments are put in place of another.
What may come of it is an answer without a new nan in it, or an error of one line that lift
documents.
"""

import math
import os
import random
import signal
import sys
import tempfile
import time
import warnings
from collections import Counter
from collections.abc import Mapping
from contextlib import chdir, contextmanager
from dataclasses import fields, is_dataclass
from functools import cache
from inspect import signature
from pathlib import Path

import numpy as np

import lift
import lift.lab
import lift.teach
from lift.errors import LiftError

ROOT = Path(lift.__file__).parents[1]
LONGEST = 1200
"""Characters of an error: a line, which may list all names of a curve set."""

PLACES = {"lift": lift, "lift.teach": lift.teach, "lift.lab": lift.lab}
LONG = 0.4
"""What takes longer [s] has been let in, and is stopped, where a name is among `TAKE_LONG`."""

TAKE_LONG = {
    *("tune", "criticise", "sample_posterior", "check_calibration", "plan_next", "all_checks"),
    *(
        "check_bands",
        "tuned_curves",
        "window_sensitivity",
        "reading_sensitivity",
        "strand_spread",
        "plan",
    ),
    *("plot_handout", "animate_lightening", "band_sensitivity", "choose", "strand_test"),
    *("class_exercise", "measure", "measure_difference", "learn_from_records", "tone_over_level"),
}


class Enough(BaseException):
    """Raised in what has been let in and takes long."""


@cache
def things():
    """What arguments are made of, each made once."""
    import matplotlib as mpl

    mpl.use("Agg")
    from lift.practice.toning.neutralise import neutralise

    hair, mixture, goal = lift.Hair(6), lift.Mixture("cream", 20), lift.Lighten(level=8)
    curves = lift.default_curves()
    strand = lift.simulate(hair, mixture, [0.0, 10.0, 20.0])
    found = lift.preview(hair, mixture, 20.0, goal, members=8)
    lab = (45.0, 12.0, 25.0)
    scenario = lift.load_scenario(ROOT / "shared" / "blonde_refresh.toml")
    swatches = lift.lab.read_swatches(ROOT / "shared" / "invented_swatches.csv")
    tone = {"violet": 1.0}
    pigment = strand.last.pigment.map(lambda p: float(np.ravel(p)[-1]))
    made = dict(
        hair=hair, mixture=mixture, goal=goal, curves=curves, strand=strand, preview=found,
        lab=lab, scenario=scenario, swatches=swatches, tone=tone, pigment=pigment,
        seen=lift.Observation(10.0, level=7.0),
        strands=lift.ensemble(hair, mixture, [5.0, 20.0], members=8),
        window=lift.find_window(hair, mixture, goal, members=8),
        test=lift.strand_test(hair, mixture, [lift.Observation(10.0, level=7.0)], goal, members=50),
        report=lift.tone_report(lab),
        plan=lift.plan(scenario, members=8),
        neutral=neutralise(lab),
        asked=lift.lab.Asked(hair, mixture, 20.0),
        carried=lift.teach.carried_and_outrun(hair, lift.Mixture("base-break", 10)),
        fade=lift.teach.wash_fade(pigment, tone),
        light=lift.teach.other_light(pigment),
        depth=lift.teach.tone_over_level([6.0, 7.0], hair),
        problem=lift.lab.Problem(swatches, curves),
        record=lift.Record(
            "qf4-mk7", "2026-01-05", hair, mixture, lift.Observation(20.0, level=7.0)
        ),
        chosen=lift.choose(hair, goal, members=8, mixtures=["cream"], max_volume=20.0),
        shown=lift.teach.items(["one"], "title"),
        bands=None,
    )  # fmt: skip
    return made


def calls():
    """A call that works of each public name: name, what is called, its arguments by name."""
    t = things()
    hm = dict(hair=t["hair"], mixture=t["mixture"])
    few = dict(members=8, seed=3)
    swatch_file = ROOT / "shared" / "invented_swatches.csv"
    photo = dict(image=np.zeros((8, 8, 3), np.uint8), chart=[[0, 0], [7, 0], [7, 7], [0, 7]])
    folder = Path(tempfile.gettempdir()) / "no such folder of lift"
    given = {
        "lift.Blend": dict(level=7.0, tolerance=5.0),
        "lift.Lighten": dict(level=8.0, warmth=3.0),
        "lift.Match": dict(lab=t["lab"], tolerance=5.0),
        "lift.Tone": dict(level=7.0),
        "lift.Hair": dict(level=6.0, fibre_um=60.0, damp=True, pheomelanin_share=0.3,
                          grey_percent=10.0, resistant_percent=5.0, lightened_to=7.0),
        "lift.Mixture": dict(kind="cream", volume=20.0, developer_parts=1.0, ph=9.5, boost=1.0,
                             temperature_c=30.0, tone=t["tone"], tone_minutes=5.0),
        "lift.Observation": dict(minutes=10.0, level=7.0),
        "lift.Processed": dict(**hm, minutes=20.0),
        "lift.Record": dict(client="qf4-mk7", date="2026-01-05", **hm, result=t["seen"]),
        "lift.RecordStore": dict(path=folder / "records.sqlite"),
        "lift.Scenario": dict(title="invented", zones=t["scenario"].zones,
                              mixtures=t["scenario"].mixtures),
        "lift.CurveSet": dict(name="own", parameters=t["curves"].parameters),
        "lift.learn_from_records": dict(records=[t["record"]] * 3, seed=1, draws=64),
        "lift.cautions": dict(mixture=t["mixture"], minutes=20.0, hair=t["hair"]),
        "lift.choose": dict(hair=t["hair"], goal=t["goal"], mixtures=["cream"], max_volume=20.0,
                            limit_minutes=40.0, **few),
        "lift.ensemble": dict(**hm, minutes=[5.0, 20.0], **few),
        "lift.find_window": dict(**hm, goal=t["goal"], limit_minutes=40.0, **few),
        "lift.load_curves": dict(path=folder),
        "lift.load_mixtures": dict(path=folder),
        "lift.load_scenario": dict(path=folder),
        "lift.measure": dict(**photo, region=photo["chart"], edition="ohta"),
        "lift.measure_difference": dict(**photo, region=photo["chart"], other=photo["chart"]),
        "lift.natural_path": dict(curves=t["curves"], pheomelanin_share=0.1),
        "lift.neutralise": dict(hair=t["lab"], goal=[45.0, 4.0, 10.0], palette=["violet"],
                                grey_percent=5.0, lightness_cost=0.1),
        "lift.parse_goal": dict(text="level 8"),
        "lift.plan": dict(scenario=t["scenario"], **few),
        "lift.plot_choice": dict(choice=t["chosen"]),
        "lift.plot_colours": dict(result=t["plan"]),
        "lift.plot_looks": dict(test=t["test"]),
        "lift.plot_moved": dict(test=t["test"], quantity="warmth"),
        "lift.plot_next_visit": dict(result=t["plan"]),
        "lift.plot_preview": dict(result=t["preview"]),
        "lift.plot_timeline": dict(result=t["plan"]),
        "lift.plot_warmth": dict(result=t["preview"]),
        "lift.preview": dict(**hm, minutes=20.0, goal=t["goal"], limit_minutes=40.0, **few),
        "lift.simulate": dict(**hm, minutes=[0.0, 10.0], prior_exposure=0.5),
        "lift.strand_test": dict(**hm, observations=[t["seen"]], goal=t["goal"], members=50,
                                 seed=3),
        "lift.tone_direction": dict(lab=t["lab"], goal=(45.0, 4.0, 10.0)),
        "lift.tone_report": dict(hair=t["lab"], goal=[45.0, 4.0, 10.0], palette=["violet"],
                                 kind="direct", washes_per_week=3.0, grey_percent=5.0),
        "lift.underpigment_ladder": dict(curves=t["curves"]),
        "lift.teach.Explorer": dict(**hm, minutes=20.0),
        "lift.teach.animate_lightening": dict(**hm, minutes=10.0, frames=2, seconds=1.0),
        "lift.teach.carried_and_outrun": dict(**hm, allowance=5.0, limit_minutes=30.0),
        "lift.teach.change_lines": dict(result=t["plan"]),
        "lift.teach.class_exercise": dict(curves=t["curves"]),
        "lift.teach.exercise": dict(questions=[]),
        "lift.teach.figure_with_alt": dict(drawn=None, text="text"),
        "lift.teach.foldable": dict(shown=t["shown"], summary="more", unfolded=True),
        "lift.teach.items": dict(lines=["one"], title="title"),
        "lift.teach.moved_table": dict(test=t["test"]),
        "lift.teach.other_light": dict(pigment=t["pigment"], tone=t["tone"], lights=["A"]),
        "lift.teach.plan_table": dict(result=t["plan"]),
        "lift.teach.plot_answers": dict(curves=t["curves"]),
        "lift.teach.plot_carried": dict(carried=t["carried"]),
        "lift.teach.plot_cases": dict(cases=[("a", t["hair"], t["mixture"])], minutes=20.0),
        "lift.teach.plot_causes": dict(**hm, minutes=20.0),
        "lift.teach.plot_departure": dict(**hm, minutes=20.0),
        "lift.teach.plot_depth": dict(depth=t["depth"]),
        "lift.teach.plot_dose_response": dict(report=t["report"]),
        "lift.teach.plot_dye_bands": dict(axes=None),
        "lift.teach.plot_dye_paths": dict(report=t["report"]),
        "lift.teach.plot_fades": dict(fades={"direct": t["fade"]}),
        "lift.teach.plot_handout": dict(curves=t["curves"]),
        "lift.teach.plot_ladder": dict(curves=t["curves"]),
        "lift.teach.plot_levels": dict(curves=t["curves"]),
        "lift.teach.plot_lights": dict(light=t["light"]),
        "lift.teach.plot_melanin": dict(curves=t["curves"], measured=True),
        "lift.teach.plot_one_curve": dict(hair=t["hair"], mixtures=[t["mixture"]],
                                          minutes=[5.0, 20.0]),
        "lift.teach.plot_opposition": dict(report=t["report"]),
        "lift.teach.plot_partial": dict(report=t["report"]),
        "lift.teach.plot_phases": dict(**hm, minutes=20.0),
        "lift.teach.plot_reflectance": dict(levels=[3.0, 7.0]),
        "lift.teach.plot_remaining": dict(**hm, minutes=20.0),
        "lift.teach.plot_toned": dict(report=t["report"]),
        "lift.teach.plot_toned_light": dict(report=t["report"]),
        "lift.teach.preview_table": dict(result=t["preview"]),
        "lift.teach.scenario_table": dict(scenario=t["scenario"]),
        "lift.teach.table": dict(head=["a", "b"], rows=[["1", 2]], caption="c"),
        "lift.teach.tone_over_level": dict(levels=[6.0, 7.0], hair=t["hair"], minutes=8.0),
        "lift.teach.wash_fade": dict(pigment=t["pigment"], tone=t["tone"], kind="direct",
                                     washes_per_week=3.0, allowance=5.0, grey_percent=5.0),
        "lift.lab.Asked": dict(**hm, minutes=20.0, quantity="warmth"),
        "lift.lab.Parameter": dict(name="x", value=1.0, unit="-", low=0.0, high=2.0,
                                   status="assumed", source="invented for a test"),
        "lift.lab.Problem": dict(swatches=t["swatches"], curves=t["curves"],
                                 free=["lightening_rate"], loss="t"),
        "lift.lab.Tie": dict(name="lightening_rate", other="persulfate_rate", factor=1.0),
        "lift.lab.all_checks": dict(curves=t["curves"]),
        "lift.lab.band_sensitivity": dict(curves=t["curves"], off_nm=15.0),
        "lift.lab.band_table": dict(found=None),
        "lift.lab.check_bands": dict(laboratories=2, seed=1),
        "lift.lab.check_calibration": dict(laboratories=2, seed=1, processes=1, distort=1.0),
        "lift.lab.check_swatches": dict(path=swatch_file),
        "lift.lab.criticise": dict(swatches=t["swatches"], free=["lightening_rate"], starts=1),
        "lift.lab.curve_table": dict(curves=t["curves"], sensitivity=None, status="assumed"),
        "lift.lab.estimate_table": dict(tuning=None),
        "lift.lab.evidence_table": dict(checks=[]),
        "lift.lab.infer_pigment": dict(lab=t["lab"], sd=[1.0, 1.0, 1.0], draws=50, seed=1,
                                       grey_percent=0.0, pheomelanin_share=0.1),
        "lift.lab.plan_next": dict(asked=t["asked"], curves=t["curves"], count=1, repeats=3.0),
        "lift.lab.plot_beliefs": dict(posterior=None),
        "lift.lab.plot_checks": dict(checks=[]),
        "lift.lab.plot_spread": dict(ranges={"a": (1.0, 3.0)}, expected=2.0),
        "lift.lab.plot_standing": dict(curves=t["curves"]),
        "lift.lab.plot_tornado": dict(sensitivity=None),
        "lift.lab.plot_worth": dict(plan=None),
        "lift.lab.read_swatches": dict(path=swatch_file, as_read=False),
        "lift.lab.reading_sensitivity": dict(**hm, goal=t["goal"]),
        "lift.lab.sample_posterior": dict(problem=t["problem"], seed=1, wanted=50.0, most=100),
        "lift.lab.strand_spread": dict(**hm, goal=t["goal"]),
        "lift.lab.swatch_table": dict(swatches=t["swatches"], rows=3),
        "lift.lab.tune": dict(swatches=t["swatches"], free=["lightening_rate"], starts=1, seed=1,
                              coverage=0.9),
        "lift.lab.tuned_curves": dict(tuning=None, name="own"),
        "lift.lab.window_sensitivity": dict(**hm, goal=t["goal"], whole_range=False),
    }  # fmt: skip
    for name in (
        *("plot_correlations", "plot_differences", "plot_estimates", "plot_held_out"),
        *("plot_influence", "plot_series"),
    ):
        given[f"lift.lab.{name}"] = dict(tuning=None)
    found = []
    for where, arguments in given.items():
        place, _, name = where.rpartition(".")
        found.append((where, getattr(PLACES[place], name), arguments))
    methods = {
        "curves.replace": dict(name="own", lightening_rate=0.1),
        "curves.extrapolations": dict(**hm, minutes=[5.0, 20.0]),
        "curves.save": dict(path=folder / "x" / "curves.toml"),
        "curves.with_mixtures": dict(classes=t["curves"].mixtures),
        "strands.band": dict(quantity="lift", coverage=0.9, at=0),
        "strands.up_to": dict(count=1),
        "strands.stage_chances": dict(at=0),
        "strands.probability_too_warm": dict(allowance=5.0),
        "strand.up_to": dict(count=1),
        "hair.replace": dict(level=5.0),
        "mixture.replace": dict(volume=10.0),
        "neutral.at": dict(factor=[0.5, 1.0]),
        "neutral.fibres_at": dict(factor=[0.5, 1.0]),
        "neutral.grey_at": dict(factor=0.5),
        "neutral.look_at": dict(factor=0.5),
        "preview.to_csv": dict(path=folder / "x" / "preview.csv"),
        "preview.save": dict(path=folder / "x" / "preview.csv"),
        "plan.zone": dict(name=t["scenario"].zones[0].name),
        "scenario.zone": dict(name=t["scenario"].zones[0].name),
        "scenario.replace": dict(title="another"),
        "scenario.temperature_on": dict(zone=t["scenario"].zones[0]),
        "scenario.replace_zone": dict(name=t["scenario"].zones[0].name),
        "window.spans": dict(end=30.0),
        "asked.of": dict(curves=t["curves"]),
    }
    for where, arguments in methods.items():
        thing, _, name = where.rpartition(".")
        found.append((f"<{thing}>.{name}", getattr(t[thing], name), arguments))
    return found


def odd():
    """What is put in place of an argument."""
    t = things()
    numbers = (0, -1, 3, 7.5, -0.5, 1e-300, 1e308, math.nan, math.inf, -math.inf, 2**31, 2**63)
    texts = ("", "text", "level 8", "cream", "5", "\0", "x" * 5000, b"x")
    several = ([], {}, set(), (), [math.nan], [5.0, 10.0], [5.0, 10.0, 15.0], [[1.0, 2.0]])
    arrays = (np.arange(3.0), np.zeros((2, 3)), np.zeros((0,)), np.full((2, 2, 2, 2), 5.0))
    no_numbers = (np.array(["a"]), np.array([None, 1]), np.datetime64("2026-01-01"), 1 + 2j)
    doses = ({"violet": 1.0}, {"violet": math.nan}, {"pink": 1.0}, {1: 2}, {"violet": "much"})
    lists = ([[1.0], [2.0, 3.0]], [t["hair"]], ["cream"], [None], iter([1]))
    of_lift = ("hair", "mixture", "goal", "curves", "strand", "preview", "scenario", "swatches")
    hair = (lift.Hair, lift.Hair([6.0, 7.0]), lift.Hair([[6.0], [7.0]]))
    mixtures = (
        *(lift.Mixture, lift.Mixture("cream", [10.0, 20.0, 30.0])),
        *(lift.Mixture("base-break", 10), lift.Mixture("powder", 30)),
    )
    return [
        *(None, True, False, object(), Path("/nonexistent"), Path("/")),
        *(10**400, -(10**400), 10**5000, np.float32(5.0), np.int64(7), *numbers, *texts),
        *(*several, *arrays, *no_numbers, *doses, *lists, *(t[name] for name in of_lift)),
        *(t["seen"], t["pigment"], t["lab"], *hair, *mixtures),
    ]


def nans(thing, where="", deep=0):
    """Places of a result that hold nan."""
    if isinstance(thing, float | np.floating):
        if math.isnan(thing):
            yield where
    elif isinstance(thing, np.ndarray):
        if thing.dtype.kind == "f" and np.isnan(thing).any():
            yield where
    elif deep < 6:
        inside = ()
        if isinstance(thing, Mapping):
            inside = thing.items()
        elif isinstance(thing, list | tuple):
            inside = ((0, each) for each in thing)
        elif is_dataclass(thing) and not isinstance(thing, type):
            inside = ((f.name, getattr(thing, f.name, None)) for f in fields(thing))
        for key, value in inside:
            yield from nans(value, f"{where}.{key}", deep + 1)


def tell(signum, frame):
    raise Enough


def attempt(called, arguments, seconds):
    """Result and error of a call, stopped after a time."""
    signal.signal(signal.SIGALRM, tell)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        return called(**arguments), None
    except BaseException as error:
        return None, error
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)


def mutated(arguments, pool, rng):
    """Arguments with one or two in another's place, two of them swapped, or one left out."""
    new = dict(arguments)
    kind = rng.random()
    if kind < 0.1 and len(new) > 1:
        one, other = rng.sample(sorted(new), 2)
        new[one], new[other] = new[other], new[one]
        return new
    for name in rng.sample(sorted(new), min(len(new), 1 + (kind > 0.8))):
        new[name] = rng.choice(pool)
    return new


def every(called, arguments):
    """Arguments that the call has, those too that are usually left out."""
    from inspect import Parameter

    extra = {}
    for name, p in signature(called).parameters.items():
        if p.kind in (Parameter.VAR_POSITIONAL, Parameter.VAR_KEYWORD, Parameter.POSITIONAL_ONLY):
            continue
        if name not in arguments and p.default is not Parameter.empty:
            extra[name] = p.default
    return {**arguments, **extra}


def run(count, seed=0, seconds=20.0):
    """Call so many; what came of it that must not, by what it looks like."""
    with tempfile.TemporaryDirectory() as folder, chdir(folder), elsewhere(folder):
        return _run(count, seed, seconds)


@contextmanager
def elsewhere(folder):
    """Keep a user's own files out of it."""
    names = ("HOME", "XDG_DATA_HOME", "LOCALAPPDATA")
    before = {name: os.environ.get(name) for name in names}
    os.environ.update(dict.fromkeys(names, folder))
    yield
    for name, value in before.items():
        os.environ.pop(name) if value is None else os.environ.update({name: value})


def _run(count, seed, seconds):
    rng = random.Random(seed)
    todo = [(w, c, every(c, a)) for w, c, a in calls()]
    todo = [each for each in todo if each[2]]
    pool = odd()
    usual, bad, ends = {}, {}, Counter()
    for turn in range(count):
        where, called, arguments = todo[turn % len(todo)]
        short = where.rpartition(".")[2]
        long = short in TAKE_LONG
        new = mutated(arguments, pool, rng)
        began = time.perf_counter()
        with warnings.catch_warnings(record=True):
            warnings.simplefilter("error")
            result, error = attempt(called, new, LONG if long else seconds)
        plt_close(turn)
        took = time.perf_counter() - began
        changed = {k: v for k, v in new.items() if v is not arguments[k]}
        problem = None
        if isinstance(error, Enough):
            ends["stopped"] += 1
            if not long or took > 20.0 * LONG:
                problem = f"took more than {took:.1f} s"
        elif isinstance(error, LiftError | FileNotFoundError | OSError):
            ends["refused"] += 1
            text = str(error)
            if isinstance(error, LiftError) and ("\n" in text.strip() or len(text) > LONGEST):
                problem = f"error of {len(text)} characters: {text[:80]!r}"
        elif error is not None:
            problem = f"{type(error).__name__}: {str(error)[:150]}"
        else:
            ends["answered"] += 1
            if where not in usual:
                usual[where] = set(nans(attempt(called, arguments, seconds)[0]))
            fresh = set(nans(result)) - usual[where]
            if fresh:
                problem = f"silent nan in {sorted(fresh)[:4]}"
        if problem:
            key = (where, problem.split(":")[0], tuple(sorted(changed)))
            said = {k: shown(v) for k, v in changed.items()}
            bad.setdefault(key, (problem, said, error))
    return bad, ends


def shown(value):
    try:
        return repr(value)[:60]
    except ValueError:
        return "thousands of digits"


def plt_close(turn):
    if turn % 20 == 0 and "matplotlib.pyplot" in sys.modules:
        sys.modules["matplotlib.pyplot"].close("all")


if __name__ == "__main__":
    found, counted = run(int(sys.argv[1]), int((sys.argv[2:] or ["0"])[0]))
    for (where, _, _), (problem, said, _) in sorted(found.items(), key=lambda kv: kv[0]):
        print(f"{where}({said}): {problem}")
    print(dict(counted), f"{len(found)} kinds of failure")
    sys.exit(bool(found))
