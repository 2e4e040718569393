/**
 * The browser's XMLHttpRequest, as far as the stock client library uses it, over fetch.
 * Node has no such class, and the library brings none.
 */
export class FetchXhr {
  readyState = 0;
  status = 0;
  response: unknown = null;
  responseText = '';
  responseType = '';
  timeout = 0;
  withCredentials = false;
  onreadystatechange: (() => void) | null = null;
  onload: (() => void) | null = null;
  onerror: (() => void) | null = null;
  ontimeout: (() => void) | null = null;
  upload = {};
  private method = 'GET';
  private url = '';
  private headers = new Headers();
  private answer = new Headers();
  private stop = new AbortController();

  open(method: string, url: string): void {
    this.method = method;
    this.url = url;
    this.readyState = 1;
  }

  setRequestHeader(name: string, value: string): void {
    this.headers.set(name, value);
  }

  getResponseHeader(name: string): string | null {
    return this.answer.get(name);
  }

  abort(): void {
    this.stop.abort();
  }

  send(body?: string | FormData): void {
    fetch(this.url, { method: this.method, headers: this.headers, body: body ?? null, signal: this.stop.signal })
      .then(async (answer) => {
        this.responseText = await answer.text();
        this.response = this.responseType === 'json' ? JSON.parse(this.responseText) : this.responseText;
        this.status = answer.status;
        this.answer = answer.headers;
        this.readyState = 4;
        this.onreadystatechange?.();
        this.onload?.();
      })
      .catch(() => {
        if (!this.stop.signal.aborted) this.onerror?.();
      });
  }
}
