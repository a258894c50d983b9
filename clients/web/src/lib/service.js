// Calls of the service this page came from, and of no other. Places travel in bodies, never in addresses.

let key = '';
const NAME = 'agonic-key';
try {
  key = localStorage.getItem(NAME) ?? '';
} catch { /* none kept */ }

export const keyOfRegistry = {
  get: () => key,
  kept: () => { try { return Boolean(localStorage.getItem(NAME)); } catch { return false; } },
  /** @param keep only when the person asked for it is it written down */
  set(value, keep) {
    key = value.trim();
    try {
      if (keep && key) localStorage.setItem(NAME, key);
      else localStorage.removeItem(NAME);
    } catch { /* not kept then */ }
  },
};

export const withKey = () => (key ? { Authorization: `Bearer ${key}` } : {});

/** @returns {ok, status, body, headers}; a network that is not there comes back as {ok: false, problem} */
export async function ask(method, path, { body, headers = {}, keyed = false } = {}) {
  let response;
  try {
    response = await fetch(path, {
      method,
      headers: { ...(body !== undefined ? { 'Content-Type': 'application/json' } : {}), ...(keyed ? withKey() : {}), ...headers },
      body: body === undefined ? undefined : typeof body === 'string' ? body : JSON.stringify(body),
      cache: 'no-store',
    });
  } catch {
    return { ok: false, problem: { code: 'network' } };
  }
  const text = await response.text();
  let told;
  try { told = JSON.parse(text); } catch { told = text; }
  return response.ok ? { ok: true, status: response.status, body: told, headers: response.headers }
    : { ok: false, status: response.status, problem: told && typeof told === 'object' ? told : { detail: String(text).slice(0, 300) } };
}

/** A file, with what has gone and what has come as it does: onprogress(part of 1). */
export function send(path, type, content, onprogress) {
  return new Promise((resolve) => {
    const request = new XMLHttpRequest();
    request.open('POST', path);
    request.setRequestHeader('Content-Type', type);
    for (const [name, value] of Object.entries(withKey())) request.setRequestHeader(name, value);
    request.responseType = 'text';
    request.upload.onprogress = (event) => event.lengthComputable && onprogress((event.loaded / event.total) * 0.6);
    request.onprogress = (event) => onprogress(event.lengthComputable ? 0.6 + (event.loaded / event.total) * 0.4 : 0.8);
    request.onerror = () => resolve({ ok: false, problem: { code: 'network' } });
    request.onload = () => {
      if (request.status >= 200 && request.status < 300) {
        resolve({ ok: true, text: request.responseText, summary: request.getResponseHeader('Agonic-Summary') });
        return;
      }
      let problem;
      try { problem = JSON.parse(request.responseText); } catch { problem = { detail: `${request.status}` }; }
      resolve({ ok: false, problem });
    };
    request.send(content);
  });
}
