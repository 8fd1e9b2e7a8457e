"""JSON schemas of what the interface answers."""

from __future__ import annotations

from typing import Any

Schema = dict[str, Any]

NUMBER: Schema = {"type": "number"}
TEXT: Schema = {"type": "string"}
FLAG: Schema = {"type": "boolean"}
WHOLE: Schema = {"type": "integer"}
MAYBE: Schema = {"type": ["number", "null"]}
LAB: Schema = {"type": "array", "items": NUMBER, "minItems": 3, "maxItems": 3}


def a_list(items: Schema) -> Schema:
    """Schema of a list."""
    return {"type": "array", "items": items}


def an_object(**properties: Schema) -> Schema:
    """Schema of an object with exactly these keys."""
    return {
        "type": "object",
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


def at_least(**properties: Schema) -> Schema:
    """Schema of an object with at least these keys."""
    return {"type": "object", "properties": properties, "required": list(properties)}


BAND = an_object(low=NUMBER, median=NUMBER, high=NUMBER)
CURVE_SET = {"type": "object", "required": ["name", "status", "provenance"]}
TONE = an_object(
    hue_deg=NUMBER,
    munsell=TEXT,
    wheel=TEXT,
    amount=NUMBER,
    needed=FLAG,
    excess=TEXT,
    change=LAB,
)
CODE: Schema = {"type": "object", "required": ["code"]}
INPUTS = an_object(
    level=NUMBER,
    fibre_um=NUMBER,
    damp=FLAG,
    grey_percent=NUMBER,
    pheomelanin_share=NUMBER,
    lightened_to=MAYBE,
    mixture=TEXT,
    volume=NUMBER,
    developer_parts=NUMBER,
    on_head_volume=NUMBER,
    ph=NUMBER,
    temperature_c=NUMBER,
    tone={"type": "object", "additionalProperties": NUMBER},
    minutes=NUMBER,
    goal=TEXT,
    goal_code=CODE,
    goal_level=NUMBER,
    warmth_limit=NUMBER,
)
PAIR: Schema = {"type": ["array", "null"], "items": MAYBE, "minItems": 2, "maxItems": 2}
WINDOW = an_object(
    opens=MAYBE,
    closes=MAYBE,
    closes_by={"enum": ["warmth", "time limit", "none"]},
    opens_range=PAIR,
    closes_range=PAIR,
    reached_at=MAYBE,
    too_warm_at=MAYBE,
    best_minutes=NUMBER,
    p_best=NUMBER,
    goal=TEXT,
    goal_code=CODE,
    warmth_limit=NUMBER,
    advice=a_list(TEXT),
    advice_codes=a_list(CODE),
)
AT = an_object(
    minutes=NUMBER,
    lab=an_object(median=LAB, low=LAB, high=LAB),
    level=BAND,
    lift=BAND,
    stage=TEXT,
    warmth=BAND,
    hue_deg=NUMBER,
    p_too_warm=NUMBER,
)
PREVIEW = an_object(
    inputs=INPUTS,
    at=AT,
    curve=an_object(
        minutes=a_list(NUMBER),
        lab=a_list(LAB),
        level=a_list(NUMBER),
        warmth=a_list(NUMBER),
        warmth_low=a_list(NUMBER),
        warmth_high=a_list(NUMBER),
        p_too_warm=a_list(NUMBER),
    ),
    window=WINDOW,
    tone=TONE,
    cautions=a_list(TEXT),
    cautions_codes=a_list(CODE),
    curve_set=CURVE_SET,
)
SCREEN: Schema = {"type": "string", "pattern": "^#[0-9a-f]{6}$"}
PREVIEW_SHOWN = an_object(
    risk=TEXT,
    chance=TEXT,
    window=TEXT,
    level=TEXT,
    underpigment=TEXT,
    warmth=TEXT,
    tone=TEXT,
    notes=a_list(TEXT),
    colour_before=SCREEN,
    colour_now=SCREEN,
    colours=a_list(SCREEN),
)
STAGES = an_object(
    stages=a_list(
        an_object(level=NUMBER, natural=LAB, underpigment=LAB, warmth=NUMBER, stage=TEXT, tone=TONE)
    ),
    cautions=a_list(TEXT),
    curve_set=CURVE_SET,
)
STAGES_SHOWN = an_object(natural=a_list(SCREEN), underpigment=a_list(SCREEN))
ERRORS = an_object(errors=a_list(an_object(field=TEXT, message=TEXT)))
STATE = an_object(state={"type": "object"})

CHANGE = at_least(
    kind=TEXT, text=TEXT, works=FLAG, p_inside=NUMBER, total_minutes=NUMBER, cost=NUMBER
)
SECTION = at_least(
    number=WHOLE,
    bowl=WHOLE,
    starts=NUMBER,
    ends=NUMBER,
    rinsed=NUMBER,
    minutes=NUMBER,
    opens=MAYBE,
    closes=MAYBE,
    inside=FLAG,
    p_inside=NUMBER,
    lab=LAB,
    level=NUMBER,
    warmth=NUMBER,
)
ZONE = at_least(
    zone=TEXT,
    part=TEXT,
    mixture=TEXT,
    goal=TEXT,
    starts=NUMBER,
    laid=NUMBER,
    rinsed=NUMBER,
    earliest=MAYBE,
    latest=NUMBER,
    latest_safe=NUMBER,
    p_inside=NUMBER,
    lab=LAB,
    after=LAB,
    tone=TONE,
    sections=a_list(SECTION),
)
PLAN = at_least(
    title=TEXT,
    exists=FLAG,
    p_inside=NUMBER,
    latest_safe=MAYBE,
    total_minutes=NUMBER,
    order=a_list(TEXT),
    reason=TEXT,
    changes=a_list(CHANGE),
    zones=a_list(ZONE),
    steps=a_list(at_least(kind=TEXT, zone=TEXT, at=NUMBER, until=NUMBER)),
    blend=at_least(words=TEXT),
    next_visit=at_least(words=a_list(TEXT)),
    cautions=a_list(TEXT),
    curve_set=CURVE_SET,
)
CLOCK = at_least(
    title=TEXT,
    together=FLAG,
    cautions=a_list(TEXT),
    zones=a_list(
        at_least(
            name=TEXT,
            planned_starts=a_list(NUMBER),
            log_strength=a_list(NUMBER),
            reached=a_list(MAYBE),
            closes=a_list(MAYBE),
            minutes=a_list(NUMBER),
            colours=a_list(a_list(SCREEN)),
        )
    ),
)
PLAN_SHOWN = at_least(
    verdict=TEXT,
    chance=TEXT,
    changes=a_list(TEXT),
    zones={"type": "object"},
    parts={"type": "object"},
    clock=CLOCK,
)
STATE_AT = at_least(at=AT, window={"type": "object"})
STRAND = at_least(
    observations=a_list(at_least(minutes=NUMBER, verdict=TEXT)),
    before=STATE_AT,
    after=STATE_AT,
    looks=at_least(best_minutes=NUMBER),
    next_look=at_least(best_minutes=NUMBER),
    cautions=a_list(TEXT),
    curve_set=CURVE_SET,
)
STRAND_SHOWN = an_object(
    seen=a_list(TEXT),
    moved=a_list(TEXT),
    risk=TEXT,
    window_before=TEXT,
    window_now=TEXT,
    look=a_list(TEXT),
    colours=a_list(SCREEN),
)
RECORDS = at_least(records=a_list({"type": "object"}), cautions=a_list(TEXT))
ADDED = at_least(record={"type": "object"}, cautions=a_list(TEXT))
LEARNED = at_least(before={"type": "object"}, after={"type": "object"}, cautions=a_list(TEXT))
