#!/usr/bin/env python3
"""Writes invented-weather.csv, an invented season for the demo garden hour by hour, and invented-forecast.csv, what an
invented forecaster said of it each morning for that day and the two after it.

Nothing here was measured. A table of spells sets how warm, clear, damp and windy each stretch of days is; a small
generator of our own adds the unevenness of real days, so the file is the same wherever this runs.
Run it in this folder, without arguments, to write both files again.
"""
import datetime as dt
import math

LATITUDE_DEG, LONGITUDE_DEG, ELEVATION_M = 47.9, 20.3, 340.0    # as in tubgrove.yaml
FIRST, LAST = dt.date(2026, 3, 1), dt.date(2026, 9, 30)
SUMMER_TIME = dt.datetime(2026, 3, 29, 1)                       # UTC; from here the site's clock is two hours ahead

# First day; warmer than the season's usual by so many kelvins; share of the clear-sky sunshine; kelvins from mean air
# temperature down to the dew point; wind at 2 m, m/s.
SPELLS = [
    ("03-01", -1.5, 0.72, 5.5, 1.3), ("03-11", 0.5, 0.42, 3.5, 2.0), ("03-20", 1.5, 0.60, 5.0, 1.8),
    ("03-29", 0.0, 0.50, 4.5, 2.2), ("04-04", -4.5, 0.82, 7.0, 1.2), ("04-10", 0.5, 0.48, 4.0, 2.0),
    ("04-20", 3.0, 0.78, 7.5, 1.6), ("05-01", 0.5, 0.60, 5.0, 1.7), ("05-09", -3.0, 0.38, 3.0, 2.1),
    ("05-16", 1.5, 0.88, 9.5, 1.9), ("05-25", 3.0, 0.90, 11.0, 1.7), ("06-04", 2.5, 0.86, 10.5, 2.3),
    ("06-13", -4.0, 0.24, 1.8, 1.8), ("06-20", 0.0, 0.66, 5.5, 1.5), ("06-27", 1.5, 0.70, 6.5, 1.6),
    ("07-05", 2.0, 0.78, 7.5, 1.4), ("07-11", 5.0, 0.90, 9.0, 1.5), ("07-14", 7.2, 0.93, 10.5, 1.7),
    ("07-20", 6.3, 0.86, 8.5, 2.1), ("07-22", -1.5, 0.46, 3.5, 2.3), ("07-25", 0.0, 0.66, 6.0, 1.6),
    ("08-05", 2.0, 0.74, 7.0, 1.4), ("08-12", 3.5, 0.86, 9.0, 1.5), ("08-21", -1.0, 0.52, 4.0, 1.9),
    ("08-29", 0.5, 0.66, 5.5, 1.4), ("09-08", 1.0, 0.74, 6.5, 1.2), ("09-17", -2.0, 0.46, 3.5, 1.9),
    ("09-24", -1.0, 0.68, 5.0, 1.2),
]

# Day, hour in which it begins, hours it lasts, mm in all.
RAIN = [
    ("03-04", 2, 5, 3.2), ("03-11", 15, 8, 6.5), ("03-13", 4, 6, 4.1), ("03-16", 12, 9, 9.8), ("03-18", 20, 4, 2.7),
    ("03-24", 16, 3, 1.9), ("03-30", 9, 7, 5.6), ("04-02", 18, 6, 7.2), ("04-11", 3, 7, 5.1), ("04-13", 14, 5, 6.3),
    ("04-16", 7, 8, 8.4), ("04-18", 21, 3, 1.6), ("04-27", 17, 2, 2.2), ("05-03", 5, 6, 5.5), ("05-06", 16, 2, 7.4),
    ("05-09", 13, 10, 11.2), ("05-11", 6, 7, 6.8), ("05-12", 18, 9, 8.9), ("05-14", 10, 5, 3.7), ("05-29", 17, 1, 0.6),
    ("06-13", 4, 14, 18.6), ("06-14", 9, 11, 9.7), ("06-15", 1, 9, 6.2), ("06-16", 12, 10, 14.9),
    ("06-17", 3, 12, 11.3), ("06-18", 15, 6, 5.4), ("06-19", 8, 4, 2.8), ("06-24", 17, 2, 9.3), ("06-28", 16, 2, 4.6),
    ("07-02", 18, 3, 12.1), ("07-07", 19, 1, 3.3), ("07-22", 1, 4, 24.5), ("07-23", 13, 6, 5.9), ("07-28", 17, 2, 7.7),
    ("08-02", 15, 3, 6.4), ("08-08", 20, 2, 8.2), ("08-21", 6, 8, 10.5), ("08-23", 14, 6, 7.1), ("08-26", 3, 7, 5.3),
    ("09-01", 18, 2, 4.4), ("09-06", 9, 5, 6.6), ("09-13", 16, 2, 2.5), ("09-17", 5, 11, 12.7), ("09-19", 14, 7, 6.0),
    ("09-22", 2, 6, 4.8),
]


class Unevenness:
    """Whole-number generator (a multiplication modulo 2^31 - 1); every machine draws the same numbers from it."""

    def __init__(self, start):
        self.state = start

    def between(self, low, high):
        self.state = self.state * 48271 % 2147483647
        return low + (high - low) * self.state / 2147483647

    def bell(self, spread):
        """Roughly bell-shaped around 0: the sum of three even draws."""
        return spread * sum(self.between(-1, 1) for _ in range(3))


def local_midnight(day):
    """Start of the local day in UTC; summer time begins at night, between two midnights."""
    east = 2 if dt.datetime.combine(day, dt.time()) > SUMMER_TIME else 1
    return dt.datetime.combine(day, dt.time()) - dt.timedelta(hours=east)


def stamp(utc):
    east = 2 if utc >= SUMMER_TIME else 1
    return (utc + dt.timedelta(hours=east)).strftime("%Y-%m-%dT%H:%M:%S") + f"+{east:02d}:00"


def extraterrestrial_w_m2(utc):
    """Mean over the hour that begins at utc. FAO-56 eq. 28 with 23, 24 and 32; solar constant 0.0820 MJ m-2 min-1."""
    day = utc.timetuple().tm_yday
    distance = 1 + 0.033 * math.cos(2 * math.pi * day / 365)
    tilt = 0.409 * math.sin(2 * math.pi * day / 365 - 1.39)
    b = 2 * math.pi * (day - 81) / 364
    equation_h = 0.1645 * math.sin(2 * b) - 0.1255 * math.cos(b) - 0.025 * math.sin(b)
    middle_h = utc.hour + 0.5 + LONGITUDE_DEG / 15 + equation_h
    latitude = math.radians(LATITUDE_DEG)
    sunset = math.acos(-math.tan(latitude) * math.tan(tilt))
    angles = [max(-sunset, min(sunset, math.pi / 12 * (middle_h - 12 + side))) for side in (-0.5, 0.5)]
    span = angles[1] - angles[0]
    mj = 12 * 60 / math.pi * 0.0820 * distance * (
        span * math.sin(latitude) * math.sin(tilt)
        + math.cos(latitude) * math.cos(tilt) * (math.sin(angles[1]) - math.sin(angles[0])))
    return max(0.0, mj) * 1e6 / 3600


def solar_hours(utc):
    return (utc.hour + utc.minute / 60 + LONGITUDE_DEG / 15) % 24


def saturation_kpa(temp_degc):
    return 0.6108 * math.exp(17.27 * temp_degc / (temp_degc + 237.3))    # FAO-56 eq. 11


def spell_of(day):
    return [spell for spell in SPELLS if spell[0] <= day.strftime("%m-%d")][-1]


def usual_mean_degc(day):
    """A year's course for a hill of this height in a continental climate: an assumption."""
    return 10.0 + 11.0 * math.cos(2 * math.pi * (day.timetuple().tm_yday - 201) / 365)


def days_of_season(uneven):
    """Mean, range, clearness, dew point and wind of each day, one day on either side included."""
    day, found = FIRST - dt.timedelta(days=1), {}
    while day <= LAST + dt.timedelta(days=1):
        _, warmer, clear, below, wind = spell_of(max(day, FIRST))
        clear = max(0.10, min(0.97, clear + uneven.bell(0.06)))
        mean = usual_mean_degc(day) + warmer + uneven.bell(0.7)
        found[day] = {
            "mean": mean, "half_range": (2.5 + 13.0 * clear) / 2, "clear": clear,
            "dew": mean - below + uneven.bell(0.5), "wind": max(0.6, wind + uneven.bell(0.25)),
        }
        day += dt.timedelta(days=1)
    return found


def between_noons(days, utc, what):
    """A day's value holds at its noon; other hours lie on the line to the next noon."""
    position = utc + dt.timedelta(hours=1) - dt.timedelta(hours=12)
    day = position.date()
    share = (position.hour + position.minute / 60) / 24
    return days[day][what] * (1 - share) + days[day + dt.timedelta(days=1)][what] * share


def rain_by_hour():
    """Each shower rises to its middle and falls again; tenths of a millimetre that are lost go to its middle hour."""
    found = {}
    for when, hour, hours, total in RAIN:
        day = dt.date(2026, int(when[:2]), int(when[3:]))
        weights = [1 + min(i, hours - 1 - i) for i in range(hours)]
        parts = [round(10 * total * w / sum(weights)) for w in weights]
        parts[hours // 2] += round(10 * total) - sum(parts)
        for i, part in enumerate(parts):
            found[local_midnight(day) + dt.timedelta(hours=hour + i)] = part / 10
    return found


def hours_of_season():
    uneven = Unevenness(20260301)
    days, rain = days_of_season(uneven), rain_by_hour()
    clear_sky = 0.75 + 2e-5 * ELEVATION_M                                # FAO-56 eq. 37
    utc, end, drift = local_midnight(FIRST), local_midnight(LAST + dt.timedelta(days=1)), 0.0
    while utc < end:
        wet = rain.get(utc, 0.0)
        drift = 0.8 * drift + uneven.bell(0.18)
        # Warmest about a quarter past two by the sun, coolest about a quarter to five in the morning.
        sun = solar_hours(utc + dt.timedelta(minutes=30))
        turn = 2 * math.pi * (sun - 9.5) / 24
        wave = (math.sin(turn) + 0.2 * math.sin(2 * turn)) / 1.07
        temp = between_noons(days, utc, "mean") + between_noons(days, utc, "half_range") * wave + drift
        dew = between_noons(days, utc, "dew") + 0.5 * drift
        if wet > 0:
            temp -= min(3.0, 0.6 * wet + 0.8)
            dew = max(dew, temp - 1.2 - 7.0 * math.exp(-wet))
        temp = round(temp, 1)
        dew = min(dew, temp - 0.25)
        humidity = round(100 * saturation_kpa(dew) / saturation_kpa(temp))
        clear = between_noons(days, utc, "clear") + uneven.bell(0.05)
        clear = max(0.08, min(0.97, clear)) * (0.35 if wet > 0 else 1.0)
        shortwave = round(extraterrestrial_w_m2(utc) * clear_sky * clear)
        gusty = 0.55 + 0.9 * max(0.0, math.sin(math.pi * (sun - 7) / 14)) if 7 < sun < 21 else 0.55
        wind = max(0.2, between_noons(days, utc, "wind") * gusty + uneven.bell(0.12))
        yield utc, (stamp(utc + dt.timedelta(hours=1)), temp, humidity, wind, shortwave, wet)
        utc += dt.timedelta(hours=1)


def forecast_rows(hours):
    """One forecast a morning at five for three days: the day as it will be, less sharp the further ahead; a seventh of
    the wet days is missed, a twelfth of the dry ones is called wet."""
    uneven, truth = Unevenness(20260527), {}
    for utc, (_, temp, humidity, wind, shortwave, wet) in hours:
        day = (utc + dt.timedelta(hours=2 if utc >= SUMMER_TIME else 1)).date()
        truth.setdefault(day, []).append((temp, humidity, wind, shortwave, wet, extraterrestrial_w_m2(utc)))
    for issued_on in truth:
        for lead in range(3):
            day = issued_on + dt.timedelta(days=lead)
            if day not in truth:
                continue
            temps, humidities, winds, shortwaves, rains, skies = zip(*truth[day])
            off = uneven.bell(0.5 + 0.4 * lead)
            wet = sum(rains) * math.exp(uneven.bell(0.25)) if uneven.between(0, 1) > 1 / 7 else 0.0
            if sum(rains) == 0 and uneven.between(0, 1) < 1 / 12:
                wet = uneven.between(0.5, 6.0)
            clear = max(0.12, min(0.74, sum(shortwaves) / sum(skies) + uneven.bell(0.03 + 0.02 * lead)))
            yield (stamp(local_midnight(issued_on) + dt.timedelta(hours=5)), day.isoformat(),
                   max(temps) + off, min(temps) + off + uneven.bell(0.4),
                   sum(humidities) / len(humidities) + uneven.bell(3), max(0.5, sum(winds) / len(winds) + uneven.bell(0.2)),
                   clear * sum(skies) / len(skies), wet)


def main():
    hours = list(hours_of_season())
    with open("invented-weather.csv", "w", newline="") as out:
        out.write("time,air_temperature [degC],relative_humidity [%],wind_speed [m s-1],"
                  "surface_downwelling_shortwave_flux_in_air [W m-2],precipitation_amount:sum [mm]\r\n")
        for time, temp, humidity, wind, shortwave, wet in (values for _, values in hours):
            out.write(f"{time},{temp:.1f},{humidity},{wind:.1f},{shortwave},{wet:.1f}\r\n")
    with open("invented-forecast.csv", "w", newline="") as out:
        out.write("issued,day,air_temperature:max [degC],air_temperature:min [degC],relative_humidity:mean [%],"
                  "wind_speed:mean [m s-1],surface_downwelling_shortwave_flux_in_air:mean [W m-2],"
                  "precipitation_amount:sum [mm]\r\n")
        for issued, day, warm, cool, humidity, wind, shortwave, wet in forecast_rows(hours):
            out.write(f"{issued},{day},{warm:.0f},{cool:.0f},{min(98, humidity):.0f},{wind:.1f},{shortwave:.0f},{wet:.0f}\r\n")


if __name__ == "__main__":
    main()
