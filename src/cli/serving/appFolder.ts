/**
 * Answering from the folder of the built page: files only, with the headers of `policy.ts`.
 */

import { existsSync } from 'node:fs';
import type { RequestListener, ServerResponse } from 'node:http';
import { extname, join } from 'node:path';
import sirv from 'sirv';
import { Refusal } from '../refusal.ts';
import { HEADERS } from './policy.ts';

/** Names with a hash of their content: what they hold never changes. */
const HASHED = /^\/assets\/[^/]+-[\w-]{8}\.\w+$/;
const LONG = 'public, max-age=31536000, immutable';
/** Kept by the browser, but asked about before each use: else an old page would name files that are gone. */
const ASK_FIRST = 'no-cache';
/** Types that the file server does not know. Source: RFC 9639, 12.1. */
const MORE_TYPES: Readonly<Record<string, string>> = { '.flac': 'audio/flac' };

/**
 * What answers every request: GET and HEAD of files in the folder; anything else is refused.
 * @throws Refusal if no built page stands in the folder.
 */
export function answerFrom(folder: string): RequestListener {
  if (!existsSync(join(folder, 'index.html'))) {
    throw new Refusal(folder, 'no built page', '"npm run build" to have been run ("npm start" does both)');
  }
  const files = sirv(folder, {
    // Files are looked up anew each time, so that a page built again meanwhile is served whole.
    dev: true,
    etag: true,
    setHeaders: (response, path) => {
      response.setHeader('Cache-Control', HASHED.test(path) ? LONG : ASK_FIRST);
      const type = MORE_TYPES[extname(path)];
      if (type) response.setHeader('Content-Type', type);
    },
  });
  return (request, response) => {
    for (const [name, value] of Object.entries(HEADERS)) response.setHeader(name, value);
    if (request.method !== 'GET' && request.method !== 'HEAD') {
      response.setHeader('Allow', 'GET, HEAD');
      refuse(response, 405, 'This page is only read; nothing is sent to it.');
    } else if (leadsAway(request.url ?? '')) {
      refuse(response, 404, 'Nothing is served from there.');
    } else {
      files(request, response, () => refuse(response, 404, 'There is no such file; the page is at /'));
    }
  };
}

/** Up and out of the folder, or to a hidden file, however it is written. */
function leadsAway(url: string): boolean {
  const [path] = url.split(/[?#]/);
  try {
    return /[\\\0]|(^|\/)\./.test(decodeURIComponent(path));
  } catch {
    return true;
  }
}

function refuse(response: ServerResponse, status: number, words: string): void {
  response.writeHead(status, { 'Content-Type': 'text/plain; charset=utf-8', 'Cache-Control': 'no-store' });
  response.end(`${words}\n`);
}
