// Days and times in words. The server tells times with the garden's own offset, so they are read as they stand.
const weekdays = ['Sunday', 'Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday'];
const months = ['January', 'February', 'March', 'April', 'May', 'June', 'July', 'August', 'September', 'October', 'November', 'December'];
const day_ms = 86400000;

export function dayOf(time) { return time.slice(0, 10); }
export function clock(time) { return time.slice(11, 16); }
export function daysBetween(from, to) { return Math.round((Date.parse(to + 'T00:00:00Z') - Date.parse(from + 'T00:00:00Z')) / day_ms); }
// How many days of the garden a time lies after the beginning of the day `from`: by its calendar and clock, so that a day on which
// the clocks change is as wide as any other.
export function daysAfter(from, time) { return daysBetween(from, dayOf(time)) + (Number(time.slice(11, 13)) + Number(time.slice(14, 16)) / 60) / 24; }
export function shifted(day, by) { return new Date(Date.parse(day + 'T00:00:00Z') + by * day_ms).toISOString().slice(0, 10); }

export function weekday(day) { return weekdays[new Date(day + 'T00:00:00Z').getUTCDay()]; }
export function date(day) { return Number(day.slice(8)) + ' ' + months[Number(day.slice(5, 7)) - 1]; }
export function shortDate(day) { return Number(day.slice(8)) + ' ' + months[Number(day.slice(5, 7)) - 1].slice(0, 3); }
export function longDate(day) { return weekday(day) + ' ' + date(day); }
// A visit: "Tuesday 14 July in the evening".
export function walkDate(v) { return longDate(v.day) + (v.walk === 'evening' ? ' in the evening' : ''); }
export function fullDate(day) { return date(day) + ' ' + day.slice(0, 4); }

// As one would say it on the day `today`.
export function near(day, today) {
  const ahead = daysBetween(today, day);
  if (ahead === 0) return 'today';
  if (ahead === 1) return 'tomorrow';
  if (ahead === -1) return 'yesterday';
  return ahead > 0 && ahead < 7 ? weekday(day) : day.slice(0, 4) === today.slice(0, 4) ? shortDate(day) : fullDate(day);
}
export function nearTime(time, today) { return near(dayOf(time), today) + ' ' + clock(time); }

// RFC 3339 of a moment in milliseconds.
export function stamp(ms) { return new Date(Math.floor(ms / 1000) * 1000).toISOString().replace('.000Z', 'Z'); }
