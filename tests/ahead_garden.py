"""A garden with a forecast, for tests of looking ahead from outside."""
import datetime
import json

from command_garden import ZONE, InAFolder

MORNING = "2026-07-14T06:30:00" + ZONE


def forecast(first, days, highest=28, rain=0):
    rows = ["day,air_temperature:max [degC],air_temperature:min [degC],precipitation_amount:sum [mm],wind_speed:mean [m s-1]"]
    start = datetime.date.fromisoformat(first)
    for number in range(days):
        rows.append(f"{start + datetime.timedelta(days=number)},{highest},{highest - 12},{rain},2")
    return "\n".join(rows) + "\n"


class WithAForecast(InAFolder):
    def answer(self, garden, *words, at=MORNING):
        return json.loads(self.check_done(garden.run("--json", *words, at=at)))

    def with_forecast(self, **more):
        self.gardens = getattr(self, "gardens", 0) + 1
        garden = self.garden(f"garden-{self.gardens}")
        garden.write("forecast.csv", forecast("2026-07-14", 10, **more))
        self.check_done(garden.run("weather", "add", "--forecast", "--issued", "2026-07-14T05:00:00" + ZONE, "--source", "service",
                                   "forecast.csv", at="2026-07-14T06:00:00" + ZONE))
        return garden

    def add_forecast(self, garden, text, issued, source, *words, at="2026-07-14T06:00:00" + ZONE):
        garden.write("added.csv", text)
        self.check_done(garden.run("weather", "add", "--forecast", "--issued", issued + ZONE, "--source", source, *words, "added.csv", at=at))

    def codes(self, garden, at=MORNING):
        return {notice["code"]: notice for notice in self.answer(garden, "round", at=at)["notices"]}

    def poured(self, garden, at):
        for pour in self.answer(garden, "visit", at[:10], at=at)["pours"] or self.answer(garden, "visit", "2026-07-19", at=at)["pours"]:
            self.check_done(garden.run("did", pour["pot"], "ran-through", f"{pour['need_high_l']}L", at=at))

    def shaded_on_saucers(self, highest):
        """All that a sheet could ask for besides water is there already, and the pots are filled on the eve."""
        garden = self.with_forecast(highest=highest)
        with open(garden.configuration, encoding="utf-8") as file:
            text = file.read()
        garden.write("tubgrove.yaml", text.replace("light: full", "light: shade"))
        for pot in ("7", "8", "lemon"):
            self.check_done(garden.run("pot", "change", pot, "container.saucer=9L", at="2026-07-14T06:10:00" + ZONE))
        self.poured(garden, at="2026-07-14T19:20:00" + ZONE)
        return garden

    def days_off(self, garden, value):
        with open(garden.configuration, encoding="utf-8") as file:
            text = file.read()
        garden.write("tubgrove.yaml", text + f"notices: {{days_off: {value}}}\n")

    def notice(self, garden, day):
        notices = self.answer(garden, "round", at=day + "T06:30:00" + ZONE)["notices"]
        found = [notice for notice in notices if notice["code"] == "days-off"]
        self.assertLessEqual(len(found), 1)
        return found[0] if found else None
