// What the phone keeps, as JSON under names of ours. A browser may refuse to keep anything; then put() says so.
const prefix = 'tubgrove.';
const here = {};  // what the browser would not keep lives as long as the page

export function take(name, otherwise) {
  try {
    const text = localStorage.getItem(prefix + name);
    if (text !== null) return JSON.parse(text);
  } catch (e) { /* not allowed, or not ours */ }
  return name in here ? here[name] : otherwise;
}

export function put(name, value) {
  here[name] = value;
  try {
    localStorage.setItem(prefix + name, JSON.stringify(value));
    delete here[name];
    return true;
  } catch (e) {
    return false;
  }
}

export function drop(name) {
  delete here[name];
  try { localStorage.removeItem(prefix + name); } catch (e) { /* was not kept either */ }
}

export function names(beginning) {
  const found = [];
  try {
    for (let i = 0; i < localStorage.length; i += 1) {
      const key = localStorage.key(i);
      if (key.indexOf(prefix + beginning) === 0) found.push(key.slice(prefix.length));
    }
  } catch (e) { /* none */ }
  return found;
}
