"""Outliers: six robust standard deviations by scipy's measure, and who can confirm a reading."""

from datetime import date
from math import hypot
from random import Random

import pytest
from msgspec.structs import replace
from scipy import stats

from splitline.checking.outliers import (
    CONFIRMING,
    DELIVERIES,
    FARTHEST,
    Level,
    Reading,
    confirms,
    level_of,
    out_of_line,
    pooled,
)

MARCH = (date(2026, 3, 1) - date(1970, 1, 1)).days


def reading(content: float, who: str = "a", day: int = MARCH, uncertainty: float = 2.0) -> Reading:
    return Reading(who, day, content, uncertainty)


CONTENTS = [84.1, 83.0, 86.2, 84.9, 79.5, 85.5, 84.4]


def test_the_limit_is_six_robust_standard_deviations() -> None:
    level = level_of(reading(content) for content in CONTENTS)
    assert level is not None
    spread = float(stats.median_abs_deviation(CONTENTS, scale="normal"))
    border = FARTHEST * hypot(spread, DELIVERIES, 1.0)
    for side in (-1, 1):
        assert out_of_line(reading(84.4 + side * (border - 0.01)), [level]) is None
        problem = out_of_line(reading(84.4 + side * (border + 0.01)), [level])
        assert problem is not None
        assert (problem.code, problem.field) == ("out_of_line", "content")


def test_too_few_readings_judge_nothing() -> None:
    four, five = (level_of(reading(content) for content in CONTENTS[:count]) for count in (4, 5))
    assert out_of_line(reading(20.0), [four]) is None
    assert out_of_line(reading(20.0), [five])
    assert out_of_line(reading(20.0), [None, level_of([])]) is None


def test_a_reading_usual_for_source_or_region_is_not_out_of_line() -> None:
    here, around = Level(84.0, 1.0, 9), Level(60.0, 2.0, 90)
    assert out_of_line(reading(61.0), [here, around]) is None
    assert out_of_line(reading(20.0), [here, around])
    few = Level(84.0, 1.0, 4)
    assert out_of_line(reading(80.0), [few, around]) is not None, "too few readings at the source support it"


def test_one_gross_error_hardly_moves_the_limit() -> None:
    level = level_of(reading(content) for content in [*CONTENTS, 5.0])
    assert level is not None
    assert abs(level.centre - 84.25) < 0.01
    assert out_of_line(reading(20.0), [level])


def test_pooled_months_are_close_to_all_readings_together() -> None:
    random = Random(3)
    months = [[random.gauss(season, 2.0) for _ in range(200)] for season in (72, 76, 80, 84, 80, 76)]
    of_months = [level_of(reading(content) for content in contents) for contents in months]
    level = pooled(tuple(month for month in of_months if month))
    assert level is not None
    everything = [content for contents in months for content in contents]
    assert level.count == 1200
    assert level.centre == pytest.approx(float(stats.scoreatpercentile(everything, 50)), abs=1.0)
    assert level.spread == pytest.approx(float(stats.median_abs_deviation(everything, scale="normal")), rel=0.25)


def test_a_second_person_confirms_within_both_uncertainties_and_thirty_days() -> None:
    odd = reading(60.0, uncertainty=3.0)
    other = reading(65.0, "b", MARCH + CONFIRMING, uncertainty=4.0)  # 3 and 4 make 5
    assert confirms(odd, other)
    assert confirms(other, odd)
    assert not confirms(odd, replace(other, content=65.01))
    assert not confirms(odd, replace(other, day=MARCH + CONFIRMING + 1))
    assert not confirms(odd, replace(other, contributor="a"))
