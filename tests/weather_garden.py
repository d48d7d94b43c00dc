"""A garden whose service takes weather in from peers on this machine, and what of it came into the store."""
import datetime
import json
import os
import sqlite3

import command_garden
from peers import until
from serve_garden import Service

SITE = """site: {name: Lark Terrace, latitude: 47.9, longitude: 20.3, elevation: 340 m, timezone: Europe/Budapest}
bays: [{id: wall, light: full, shelter: usual, rain: open, order: 1}]
"""
# One object an hour, in the folder's own layout of this test.
LAYOUT = """    format: json
    rows: /hours
    time: /at
    span: 1 h
    wind_height: 2 m
    columns: [{from: /t, quantity: air_temperature, unit: degC}, {from: /r, quantity: precipitation_amount, unit: mm}]
"""


class SourceState(dict):
    def __getattr__(self, name):
        return self[name]


class WeatherGarden(command_garden.InAFolder):
    def tearDown(self):
        self.doCleanups()  # whoever still writes into the folder ends first
        super().tearDown()

    def land(self, weather, more="", name="land", layout=LAYOUT):
        """A garden without pots; `weather` are the sources' own keys by name."""
        land = command_garden.Garden(os.path.join(self.place, name))
        os.makedirs(land.folder)
        sources = "".join(f"  - name: {source}\n{layout}    {keys}\n" for source, keys in weather.items())
        land.write("tubgrove.yaml", SITE + (f"weather:\n{sources}" if sources else "") + more)
        self.check_done(land.run("check"))
        return land

    def serve(self, land, **env):
        service = Service(land, at=None, **env)
        self.addCleanup(service.stop)
        return service

    def state(self, service, name=None):
        """How the source is doing, as the API says; without a name: the only one."""
        states = service.get("/api/v1/sources").json()["sources"]
        return SourceState(next(state for state in states if name in (None, state["name"])))

    def until_state(self, service, true, name=None, seconds=40):
        def look():
            state = self.state(service, name)
            return state if true(state) else None
        return until(look, seconds, lambda: f"it stands otherwise: {self.state(service, name)}")

    def secret(self, text, name="secret"):
        path = os.path.join(self.place, name)
        with open(path, "w", encoding="utf-8") as file:
            file.write(text + "\n")
        os.chmod(path, 0o600)
        return path


def hours(*rows, before=None):
    """A document with rows (hours ago, degrees, rain)."""
    now = before or datetime.datetime.now(datetime.timezone.utc).replace(minute=0, second=0, microsecond=0)
    return json.dumps({"hours": [{"at": (now - datetime.timedelta(hours=ago)).isoformat(), "t": t, "r": r} for ago, t, r in rows]})


def stored(land, source):
    """Readings in the store: [(temperature, rain), …] in the order of their times, the newest version of each."""
    store = sqlite3.connect(f"file:{land.data}/tubgrove.db?mode=ro", uri=True)
    try:
        found = store.execute(
            "SELECT air_temperature_mean_degC, precipitation_amount_sum_mm, MAX (delivery) FROM readings JOIN series ON series.id = series "
            "WHERE source = ? GROUP BY ends, span_s ORDER BY ends", (source,)).fetchall()
        return [row[:2] for row in found]
    finally:
        store.close()


def asked(land, sql):
    store = sqlite3.connect(f"file:{land.data}/tubgrove.db?mode=ro", uri=True)
    try:
        return store.execute(sql).fetchall()
    finally:
        store.close()


def deliveries(land):
    return asked(land, "SELECT COUNT (*) FROM deliveries")[0][0]


def issued(land):
    """Forecasts by source, moment of issue and member."""
    return asked(land, "SELECT source, issued, member FROM series WHERE issued IS NOT NULL ORDER BY issued, member")
