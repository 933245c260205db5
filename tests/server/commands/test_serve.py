"""`splitline serve` from a terminal."""

import signal

import httpx

from serving import START_SECONDS, served


def test_ctrl_c_ends_it_without_a_word(tmp_path):
    with served(tmp_path, anew=True) as server:
        # The socket listens a moment before anybody answers at it.
        httpx.get(f"{server.url}/healthz", timeout=60)
        server.process.send_signal(signal.SIGINT)
        assert server.process.wait(START_SECONDS) == 130
        assert server.errors.read_text().splitlines()[2:] == []
