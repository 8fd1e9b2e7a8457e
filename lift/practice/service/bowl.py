"""Bowl: how many sections it can serve before they no longer share a right moment to rinse."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from lift.practice.service.laying import lay
from lift.practice.service.plan_parts import Bowl
from lift.practice.service.response import respond
from lift.practice.service.scenario import Scenario
from lift.practice.service.zone import MAX_SECTIONS
from lift.practice.service.zone_work import ZoneWork


def bowl_reach(work: ZoneWork, scenario: Scenario) -> Bowl:
    """Count the sections of a zone that one bowl can serve, for the expected strands.

    Sections are added, at the planned pace and from one bowl, as long as all of them still have
    a common moment at which they are inside their windows.

    Parameters
    ----------
    work : ZoneWork
        The zone.
    scenario : Scenario
        Gives salon and assumptions.

    Returns
    -------
    Bowl
        Counts up to 200, with ``none`` where nothing ends them before.
    """
    placement = work.zone.placement
    values = scenario.values
    many = lay(replace(placement, sections=MAX_SECTIONS, bowls=1), scenario.salon, values)
    outer = np.log(many.strength)[None]
    inner = outer + (work.inner - work.outer)[0, 0]
    table = respond(
        work.zone.hair,
        work.mixture,
        work.target,
        work.curves,
        too_light=work.too_light,
        limit_minutes=scenario.salon.limit_minutes,
        log_strength=(float(inner.min()), float(outer.max())),
        latent=work.latent[:1],
    )
    each = many.ends - many.starts
    opens = (each + table.times(table.reached, inner))[0]
    closes = np.minimum(
        np.minimum(table.times(table.too_warm, outer), table.times(table.too_light, outer)),
        table.limit_minutes,
    )[0]
    offset = many.starts - many.rinse_after
    common = np.maximum.accumulate(offset + opens) < np.minimum.accumulate(offset + closes)
    # The rinse waits for the last section; the first must not have closed by then.
    common &= many.ends < np.minimum.accumulate(offset + closes)
    own = opens < closes
    serves, lasts = _first_false(common), _first_false(own)
    sections = -(-placement.sections // placement.bowls)
    grams = sections * placement.grams_per_section
    product = grams / (1.0 + float(work.mixture.developer_parts))
    return Bowl(
        serves=serves,
        lasts=lasts,
        ends_by="none" if serves == MAX_SECTIONS else "strength" if serves == lasts else "window",
        grams=grams,
        product_grams=product,
        developer_grams=grams - product,
        bowls=placement.bowls,
    )


def _first_false(flags: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> int:
    return int(flags.size if flags.all() else np.argmin(flags))
