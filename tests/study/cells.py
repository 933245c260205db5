"""The simulated regions of the study, by name. 40 stations and 3 to 40 tests in two years, unless stated otherwise."""

from study.world import World

CELLS: dict[str, World] = {
    "ordinary": World(),
    # What the region can know about the season
    "first-autumn": World(days=200, season="autumn", visits=(5, 25)),
    "two-autumns": World(season="autumn"),
    "no-season-200": World(days=200, season="none", visits=(5, 25)),
    "cosine-200": World(days=200, visits=(5, 25)),
    "sharp-600": World(days=600, season="ramps"),
    "own-timing": World(season="ramps", timing=12.0),
    "three-weeks": World(days=21, visits=(2, 6)),
    "three-years": World(days=1095, visits=(20, 60)),
    # Tests and deliveries
    "one-delivery": World(days=200, season="none", visits=(10, 40), gaps=(5.0, 15.0)),
    "slow-deliveries": World(every=7, days=365, gaps=(14.0, 20.0)),
    "weekly": World(every=7),
    "monthly": World(every=30.4),
    "few": World(visits=(3, 6)),
    "one-person": World(people=(1, 1)),
    "large-heel": World(heel=(0.2, 0.5)),
    "steady": World(taus=(0.3, 0.6)),
    "unsteady": World(taus=(2.0, 3.0)),
    "heavy": World(scatter="heavy"),
    "light": World(scatter="light"),
    "skew": World(scatter="skew"),
    # Gross errors
    "gross-2": World(gross=0.02, visits=(7, 20)),
    "gross-5-few": World(gross=0.05, visits=(3, 6)),
    "gross-5": World(gross=0.05, visits=(7, 20)),
    "gross-10-few": World(gross=0.1, visits=(3, 6)),
    "gross-10": World(gross=0.1, visits=(7, 20)),
    # Tubes
    "tubes-0": World(offset=0.0),
    "tubes-1.5": World(offset=1.5),
    "tubes-0.7-unstated": World(stated=False),
    "tubes-1.5-unstated": World(offset=1.5, stated=False),
    # Size of the region
    "region-1": World(sources=1),
    "region-3": World(sources=3),
    "region-10": World(sources=10),
    "region-60": World(sources=60),
    "region-3-first-autumn": World(sources=3, days=200, season="autumn", visits=(5, 25)),
    # Changes of level
    "step-weekly": World(step=5.0, every=7),
    "step-monthly": World(step=5.0, every=30.4),
    "step-irregular": World(step=5.0),
    "step-60-days-ago": World(step=5.0, step_ago=60, every=7),
}
