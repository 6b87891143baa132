"""A small plain-http page from which a phone installs the certificate authority, since https cannot bring it."""

from __future__ import annotations

import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

CERTIFICATE_PATH = "/strike-ladder-ca.crt"

_PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Strike Ladder: certificate</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<style>body{font:20px/1.5 system-ui,sans-serif;color:#111;background:#fff;max-width:34rem;margin:2rem auto;
padding:0 1rem}a.go{display:block;text-align:center;background:#111;color:#fff;padding:1rem;border-radius:.4rem;
text-decoration:none;font-weight:700}li{margin:.4rem 0}</style></head><body><h1>Once for each phone</h1>
<p>With this certificate your phone trusts the coach's computer, and the touchline page works through a reload with no
network at all. Install it only if you are on your club's own network and the coach asked you to.</p>
<p><a class="go" href="/strike-ladder-ca.crt">Download the certificate</a></p>
<h2>Android</h2><ol><li>Download it.</li><li>Settings: search for "CA certificate", choose it, then "Install
anyway".</li><li>Pick the file strike-ladder-ca.crt.</li></ol>
<h2>iPhone and iPad (Safari)</h2><ol><li>Download it and allow the profile.</li><li>Settings: "Profile Downloaded",
then "Install".</li><li>Settings: General, About, Certificate Trust Settings: switch on "Strike Ladder on this
computer".</li></ol><p>Then scan the other code to open the touchline page. The menus of your phone may be worded
differently. To take the certificate off again, remove it in the same places.</p></body></html>"""


def serve_certificate(authority: Path, *, address: str, port: int) -> ThreadingHTTPServer:
    """Serves the page and the certificate, and nothing else, in a thread of its own until the process ends."""
    certificate = authority.read_bytes()

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            """Answers the two addresses there are."""
            if self.path == CERTIFICATE_PATH:
                self._answer(200, "application/x-x509-ca-cert", certificate)
            elif self.path == "/":
                self._answer(200, "text/html; charset=utf-8", _PAGE.encode())
            else:
                self._answer(404, "text/plain", b"There is no such page.")

        def _answer(self, status: int, kind: str, content: bytes) -> None:
            self.send_response(status)
            self.send_header("Content-Type", kind)
            self.send_header("Content-Length", str(len(content)))
            self.send_header("X-Content-Type-Options", "nosniff")
            self.end_headers()
            self.wfile.write(content)

        def log_message(self, *_: object) -> None:
            """Keeps quiet: a log of addresses is nobody's need."""

    server = ThreadingHTTPServer((address, port), Handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    return server
