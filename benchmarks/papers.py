"""How long each document takes, warm: every paper of the examples drawn again and again, processor time.

    python benchmarks/papers.py [--times 9]

Prints a row a document: its size, the median and the longest time of drawing it from a finished
answer (the search or the layout is done before and not counted; a quote is priced each time). Exit
status 1 = one took longer than the
150 ms that the project allows itself.
"""

from __future__ import annotations

import argparse
import datetime as dt
import json
import statistics
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from slingwright.cli.files import read_input
from slingwright.cli.make import open_order
from slingwright.cli.options import SettingOptions, find_settings
from slingwright.cli.quote import SlingOptions, quote_request
from slingwright.usecases.certificate import certify, print_certificate
from slingwright.usecases.choose_sling import ChooseRequest, Chosen, choose_sling, draw_chosen, print_sheet
from slingwright.usecases.cut_webbing import cut_webbing, print_cut_list
from slingwright.usecases.data_sheet import print_data_sheet
from slingwright.usecases.make_cut_job import cut_job
from slingwright.usecases.make_papers import print_approval, print_traveler
from slingwright.usecases.quote import Quoted, print_quote, quote_slings
from slingwright.usecases.tag import print_tags, tag_slings

EXAMPLE = Path(__file__).parent.parent / "examples" / "harrow_quay"
ON = dt.date(2026, 3, 1)
MOST_MS = 150.0
LIFTS = ("chiller", "precast_stair", "pipe_40ft", "compressor_en", "hot_casting")
SLING = SlingOptions(form="twisted-eye", fibre="polyester", plies="2", width="2 in", length="9 ft")
Document = tuple[str, Callable[[dt.date], bytes | str]]


def _chosen(name: str) -> Chosen:
    file = EXAMPLE / f"{name}.toml"
    settings = find_settings(SettingOptions(), str(file))
    request = ChooseRequest(
        content=file.read_bytes(), file=str(file), folder=EXAMPLE, settings=settings, limit_s=None
    )
    return choose_sling(request, clock=time.monotonic)


def _of_lifts() -> Iterator[Document]:
    # mypy cannot tell the type of a lambda that binds what it is made with
    for name in LIFTS:
        chosen = _chosen(name)
        yield f"lift sheet, {name}", lambda on, c=chosen: print_sheet(c, on=on)  # type: ignore[misc]
        if not chosen.is_stop:
            yield f"drawing, {name}", lambda on, c=chosen: draw_chosen(c)  # type: ignore[misc]


def _quoted(on: dt.date) -> Quoted:
    options = SettingOptions(shop=str(EXAMPLE / "shop.toml"), rulebook="us")
    request = quote_request(None, SLING, offer=1, customer=None, at=on.isoformat(), settings=options)
    return quote_slings(request, clock=time.monotonic)


def _of_slings() -> Iterator[Document]:
    yield "quote", lambda on: print_quote(_quoted(on))
    yield "data sheet", lambda on: print_data_sheet(_quoted(on))


def _of_orders() -> Iterator[Document]:
    made = open_order(str(EXAMPLE / "order.toml"), SettingOptions())
    record = str(EXAMPLE / "making_record.toml")
    tags = tag_slings(made, serial=None, on=ON, specimen=True)
    certified = certify(made, (read_input(record), record), serial=None, on=ON, specimen=True)
    cut = cut_webbing(
        json.dumps(cut_job(made, on=ON)).encode(), "job.json", limit_s=10.0, clock=time.monotonic
    )
    yield "approval drawing", lambda on: print_approval(made, on=on, specimen=False)
    yield "traveler", lambda on: print_traveler(made, on=on, specimen=True)
    yield f"tags, {len(tags.tags)} slings", lambda on: print_tags(tags, on=on)
    yield "certificate", lambda on: print_certificate(certified, 0, on=on)
    yield "cut list", lambda on: print_cut_list(cut, on=on, units=None)


def main() -> int:
    """Draw every document `--times` times."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--times", type=int, default=9, help="how often each is drawn, after one warm-up")
    times, longest = parser.parse_args().times, 0.0
    print(f"{'document':32}{'kB':>7}{'median ms':>11}{'longest':>9}")
    for name, make in (*_of_slings(), *_of_orders(), *_of_lifts()):
        content, spent = make(ON), []
        for more in range(
            1, times + 1
        ):  # another date each time: the typesetter remembers what it has laid out
            on, start = ON + dt.timedelta(days=more), time.process_time()
            make(on)
            spent.append((time.process_time() - start) * 1e3)
        longest = max(longest, statistics.median(spent))
        print(f"{name:32}{len(content) / 1000:7.0f}{statistics.median(spent):11.1f}{max(spent):9.1f}")
    print(f"the slowest median: {longest:.0f} ms; allowed: {MOST_MS:.0f}")
    return int(longest > MOST_MS)


if __name__ == "__main__":
    raise SystemExit(main())
