// The weather day by day: what was read, ET0, rain, and what of it was guessed; and a day by hand.
import {h, put, svg, field, say} from './dom.js';
import {read} from './server.js';
import {add, onChange} from './outbox.js';
import {date, longDate, shifted, shortDate} from './days.js';
import {amount, forServer, number, turned, unit} from './units.js';
import {bar, dayMarks, figure, frame} from './plot.js';
import {asOf, table} from './parts.js';
import {form, wrong} from './pencil.js';
import {sources} from './sources.js';

const shown_days = 14, ahead_days = 7;

function guessed(day) { return !day.complete || [day.air_temperature_max_degC, day.rain_mm].some(v => v.origin === 'estimated'); }

function temperatures(days, width) {
  const high = days.map(d => turned('degC', d.air_temperature_max_degC.value)), low = days.map(d => turned('degC', d.air_temperature_min_degC.value));
  return frame({width, from: 0, to: days.length, low: Math.floor(Math.min(...low) / 5) * 5, high: Math.ceil(Math.max(...high) / 5) * 5, decimals: 0,
                unit: unit('degC'), days: dayMarks(days)},
    f => days.map((d, i) => {
      const half = Math.min((f.x(1) - f.x(0)) * 0.3, f.em * 0.7), x = f.x(i + 0.5);
      return svg('g', {class: guessed(d) ? 'stick guessed' : 'stick'}, svg('line', {x1: x, x2: x, y1: f.y(low[i]), y2: f.y(high[i])}),
        svg('line', {x1: x - half, x2: x + half, y1: f.y(high[i]), y2: f.y(high[i])}), svg('line', {x1: x - half, x2: x + half, y1: f.y(low[i]), y2: f.y(low[i])}));
    }));
}

function water(days, width) {
  const most = Math.max(...days.map(d => Math.max(turned('mm', d.et0_mm), turned('mm', d.rain_mm.value))).concat(turned('mm', 4)));
  return frame({width, from: 0, to: days.length, low: 0, high: most * 1.05, decimals: 2, unit: unit('mm'), days: dayMarks(days)},
    f => days.map((d, i) => svg('g', {class: guessed(d) ? 'bars guessed' : 'bars'}, bar(f, i + 0.1, 0.36, turned('mm', d.et0_mm), 'et0'), bar(f, i + 0.5, 0.36, turned('mm', d.rain_mm.value), 'rain'))));
}

// Whose names a day's readings came under, if they came under any; an answer kept from before knows none.
function sentBy(day, words) { return (day.by || []).length ? [words + day.by.join(', ')] : []; }

function cell(kind, v) { return number(kind, v.value) + (v.origin === 'measured' ? '' : ' (' + v.origin + ')'); }

function waterTable(days) {
  return table('Evaporation and rain by day', ['Day', 'ET0, ' + unit('mm'), 'Rain, ' + unit('mm'), 'From'],
    days.map(d => [shortDate(d.day), number('mm', d.et0_mm), cell('mm', d.rain_mm), [d.weather_from].concat(sentBy(d, 'by ')).join(', ')]));
}

function temperatureTable(days) {
  return table('Temperature and wind by day', ['Day', 'Highest, ' + unit('degC'), 'Lowest, ' + unit('degC'), 'Wind, ' + unit('m_s')],
    days.map(d => [shortDate(d.day), cell('degC', d.air_temperature_max_degC), cell('degC', d.air_temperature_min_degC), cell('m_s', d.wind_2m_m_s)]));
}

function byHand(today) {
  const plainField = id => h('input', {id, inputmode: 'text', size: 6});
  const max = plainField('hand-max'), min = plainField('hand-min'), rain = plainField('hand-rain'), day = h('input', {type: 'date', value: today, max: today});
  const read_number = text => { const t = text.trim().replace(',', '.').replace('−', '-'); return /^-?\d+(\.\d+)?$/.test(t) ? Number(t) : null; };
  const words = input => {
    if (input.value.trim() === '') return '';
    const value = read_number(input.value);
    return value === null ? (wrong(input, 'Not a number. Right would be: 21.5 or 21,5.'), null) : value;
  };
  const send = () => {
    const found = [['max', 'degC', max, 'highest '], ['min', 'degC', min, 'lowest '], ['rain', 'mm', rain, 'rain ']].map(r => [r[0], r[1], words(r[2]), r[3]]);
    if (found.some(r => r[2] === null)) return;
    const told = found.filter(r => r[2] !== '');
    if (!told.length) return void wrong(max, 'Nothing is written there.');
    if (told.length > 1 && told[0][0] === 'max' && told[1][0] === 'min' && told[0][2] < told[1][2]) return void wrong(min, 'The lowest is above the highest. Right would be: the other way round.');
    add('weather/notes', Object.assign({words: told.map(r => r[0] + '=' + forServer(r[1], r[2]))}, day.value ? {day: day.value} : {}),
      {kind: 'weather', words: 'Weather of ' + date(day.value || today) + ': ' + told.map(r => r[3] + r[2] + '\u00a0' + unit(r[1])).join(', ')});
    [max, min, rain].forEach(i => { i.value = ''; });
    say('Weather written down.');
  };
  return h('section', h('h2.bay', 'A day by hand'), h('p', 'What the thermometer on the wall and the rain gauge say.'),
    h('div.pencil', form([field('Highest, ' + unit('degC'), max), field('Lowest, ' + unit('degC'), min), field('Rain, ' + unit('mm'), rain), field('Day', day),
      h('button', {type: 'submit'}, 'Write down')], send)));
}

// Whole days to come that somebody has forecast.
function ahead(days) {
  if (!days.length) return h('p.needs', 'No forecast of the days to come is here; the months\u2019 usual weather stands for them.');
  const rain = days.reduce((sum, d) => sum + d.rain_mm.value, 0), hot = days.reduce((a, b) => (b.air_temperature_max_degC.value > a.air_temperature_max_degC.value ? b : a));
  return [h('p', 'Hottest on ' + longDate(hot.day) + ' with ' + amount('degC', hot.air_temperature_max_degC.value) + '; ' + (rain > 0 ? amount('mm', rain) + ' of rain' : 'no rain') + ' in ' + days.length + (days.length === 1 ? ' day.' : ' days.')),
    table('Forecast by day', ['Day', 'Highest, ' + unit('degC'), 'Lowest, ' + unit('degC'), 'Rain, ' + unit('mm'), 'ET0, ' + unit('mm')],
      days.map(d => [longDate(d.day).replace(/(\w{3})\w* (\d+) .*/, '$1 $2'), number('degC', d.air_temperature_max_degC.value), number('degC', d.air_temperature_min_degC.value), number('mm', d.rain_mm.value), number('mm', d.et0_mm)]))];
}

const from_words = {published: 'what others published', normals: 'the month\u2019s usual weather'};
let drawnIn = null;
onChange(event => { if (event.sent && event.sent.about.kind === 'weather' && drawnIn && location.hash.indexOf('#/weather') === 0) showWeather(drawnIn); });

export async function showWeather(main) {
  drawnIn = main;
  const today = (await read('round')).answer.day;
  const got = await read('weather?from=' + shifted(today, 1 - shown_days) + '&to=' + shifted(today, ahead_days));
  const days = got.answer.days.filter(d => d.day <= today), last = days[days.length - 1];
  const coming = got.answer.days.filter(d => d.day > today && d.weather_from === 'published'), ways = await read('sources');
  if (location.hash.indexOf('#/weather') !== 0) return;
  const total = days.reduce((sum, d) => sum + d.rain_mm.value, 0);
  put(main, h('h1', 'Weather'), asOf(got.as_of),
    days.length ? [
      h('p.sum', longDate(last.day) + ': ' + number('degC', last.air_temperature_min_degC.value) + ' to ' + amount('degC', last.air_temperature_max_degC.value) +
        ', ET0 ' + amount('mm', last.et0_mm) + ', ' + (last.rain_mm.value > 0 ? amount('mm', last.rain_mm.value) + ' of rain' : 'no rain') + '.'),
      h('p', 'From ' + (from_words[last.weather_from] || last.weather_from) + (last.source && last.source !== last.weather_from ? ' (' + last.source + ')' : '') + '. ' + last.notes.concat(sentBy(last, 'Sent by ')).join('. ')),
      figure('Evaporation and rain', 'Open bars: ET0, what a well-watered lawn would lose. Filled bars: rain. Dashed edges: partly guessed. ' + amount('mm', total) + ' of rain in ' + days.length + ' days.',
        width => water(days, width), () => waterTable(days)),
      figure('Temperature', 'From the lowest to the highest of each day. Dashed: partly guessed.', width => temperatures(days, width), () => temperatureTable(days))
    ] : h('p', 'There is no weather yet.'),
    h('section', h('h2.bay', 'Days ahead'), ahead(coming), h('p', h('a.button', {href: '#/ahead'}, 'What they mean for the pots'))),
    sources(ways.answer.sources, today),
    byHand(today));
}
