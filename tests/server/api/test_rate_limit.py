"""Token buckets: what passes, how long the rest waits, and that clients do not affect each other."""

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from splitline.api.rate_limit import BACKLOG, Buckets, RateLimit
from splitline.config import settings


class Clock:
    """A clock set by hand, s."""

    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


def limits(clock: Callable[[], float], **options: Any) -> RateLimit:
    return RateLimit(settings({"database": "postgresql://db/fuel", **options}, {}), clock)


def alone(size: int, clock: Clock) -> Buckets:
    return Buckets(size, size, clock)


def test_a_full_bucket_holds_one_minute_and_refills(clock: Clock) -> None:
    buckets = alone(60, clock)
    assert [buckets.take("a") for _ in range(61)] == [0] * 60 + [1]
    assert buckets.take("b") == 0
    clock.now += 10
    assert [buckets.take("a") for _ in range(11)] == [0] * 10 + [1]


def test_waiting_as_long_as_asked_is_enough(clock: Clock) -> None:
    buckets = alone(600, clock)
    assert buckets.take("a", 590) == 0
    wait = buckets.take("a", 100)
    assert wait == 9
    clock.now += wait
    assert buckets.take("a", 100) == 0


def test_an_oversized_request_passes_once_and_leaves_a_debt(clock: Clock) -> None:
    buckets = alone(100, clock)
    assert buckets.take("a", 250) == 0
    assert buckets.take("a") == 91
    clock.now += 91
    assert buckets.take("a") == 0


@given(st.lists(st.tuples(st.floats(0, 30), st.integers(1, 50)), max_size=60), st.integers(1, 200))
def test_never_more_passes_than_the_bucket_and_its_refill(steps: list[tuple[float, int]], size: int) -> None:
    clock = Clock()
    buckets, taken = alone(size, clock), 0
    for pause, cost in steps:
        clock.now += pause
        cost = min(cost, size)
        taken += cost if buckets.take("a", cost) == 0 else 0
        assert taken <= size + (clock.now - 1000.0) * size / 60 + 1e-6


def test_a_limit_of_zero_means_no_limit(clock: Clock) -> None:
    assert not any(alone(0, clock).take("a", 10**6) for _ in range(100))


def test_the_memory_for_clients_is_bounded(clock: Clock) -> None:
    buckets = Buckets(1, 1, clock, most=3)

    def take(key: str) -> int:
        clock.now += 0.001
        return buckets.take(key)

    assert [take(key) for key in "abc"] == [0, 0, 0]
    assert take("b") > 0
    assert take("d") == 0
    assert take("b") > 0
    assert take("a") == 0, "a asked longest ago and was dropped for d"


def test_workers_share_one_limit(clock: Clock) -> None:
    options = {"workers": "3", "requests_a_minute": "12", "records_a_minute": "18000"}
    workers = [limits(clock, **options) for _ in range(3)]
    assert [workers[n % 3].ask("192.0.2.7") for n in range(15)] == [0] * 12 + [15] * 3
    assert [workers[0].ask("192.0.2.8") for _ in range(5)] == [0] * 4 + [15], "one connection reaches one worker"
    assert [worker.send("somebody", 6000) for worker in workers] == [0, 0, 0]
    assert [worker.send("somebody", 500) for worker in workers] == [5, 5, 5]
    clock.now += 5
    assert workers[0].send("somebody", 500) == 0
    assert workers[1].send("another", 6000) == 0


@pytest.mark.parametrize("workers", [1, 2, 3, 5, 16])
def test_in_the_long_run_all_workers_admit_the_limit(clock: Clock, workers: int) -> None:
    each = [limits(clock, workers=str(workers), records_a_minute="6000") for _ in range(workers)]
    taken = 0
    for _ in range(1 + 60 * 10):
        clock.now += 1
        for one in each:
            while one.send("somebody", 10) == 0:
                taken += 10
    at_once = max(6000, BACKLOG * workers)
    assert 6000 * 10 - 10 * workers <= taken - at_once <= 6000 * 10


@pytest.mark.parametrize("workers", ["1", "2", "3", "4", "8", "16"])
def test_a_phone_with_a_days_2000_records_gets_through_one_worker(clock: Clock, workers: str) -> None:
    by_default = limits(clock, workers=workers)
    assert [by_default.send("somebody", 500) for _ in range(4)] == [0] * 4
    assert [by_default.send("another", 50) for _ in range(40)] == [0] * 40
    assert [by_default.ask("192.0.2.7") for _ in range(40)] == [0] * 40


@pytest.mark.parametrize(
    ("first", "second", "alike"),
    [
        ("192.0.2.7", "192.0.2.8", False),
        ("2001:db8:1:2::7", "2001:db8:1:2:ffff::8", True),
        ("2001:db8:1:2::7", "2001:db8:1:3::7", False),
        ("::ffff:192.0.2.7", "::ffff:192.0.2.8", False),
        ("no address", "neither", False),
    ],
)
def test_requests_are_counted_per_client_network(clock: Clock, first: str, second: str, alike: bool) -> None:
    once = limits(clock, requests_a_minute="1")
    assert once.ask(first) == 0
    assert once.ask(first) > 0
    assert (once.ask(second) > 0) == alike


def test_a_trusted_proxy_forwards_client_addresses_and_is_not_limited(clock: Clock) -> None:
    once = limits(clock, requests_a_minute="1", trusted_proxies="10.0.0.0/24,::1")
    assert not any(once.ask(host) for host in ["10.0.0.7", "10.0.0.7", "::1", "::1"])
    assert [once.ask("10.0.1.7") > 0 for _ in range(2)] == [False, True]
    nobody = limits(clock, requests_a_minute="1", trusted_proxies="none")
    assert [nobody.ask("127.0.0.1") > 0 for _ in range(2)] == [False, True]
