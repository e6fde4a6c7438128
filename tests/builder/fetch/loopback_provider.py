"""A provider of files on the loopback interface, with the good and bad habits of real servers.

The first part of an address is the habit, the rest the file's name:

    range      answers Range and If-Range, with an ETag
    plain      neither: each answer is the whole file
    nohead     as range, but refuses HEAD
    unsized    as range, but in chunks without a length
    slow       as range, a piece at a time, until it is told to hurry
    short      states the length and sends half, always, without Range
    broken     as range, but each answer ends after a third of the file
    silent     sends a little, then nothing more, and keeps the connection
    busy       answers 503 twice, then as range
    loop       redirects to itself
    moved      redirects to range
    local      redirects to a file of the machine
    gone       404
"""
import hashlib
import threading
import time
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

PIECE = 16 * 1024


class Provider:
    """files: name -> bytes. requests: (method, path, Range) of each request, in order, and times: when, in
    seconds of time.monotonic()."""

    def __init__(self):
        self.files = {}
        self.requests = []
        self.times = []
        self.busy = 0
        self.hurry = threading.Event()
        self.over = threading.Event()
        provider = self

        class Handler(BaseHTTPRequestHandler):
            protocol_version = "HTTP/1.1"

            def log_message(self, *_):
                pass

            def do_HEAD(self):
                provider.answer(self, is_head=True)

            def do_GET(self):
                provider.answer(self, is_head=False)

        self.server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.server.daemon_threads = True
        self.thread = threading.Thread(target=self.server.serve_forever, args=(0.02,), daemon=True)
        self.thread.start()

    def close(self):
        self.over.set()
        self.server.shutdown()
        self.server.server_close()

    def url(self, habit, name):
        return f"http://127.0.0.1:{self.server.server_address[1]}/{habit}/{name}"

    def downloads(self):
        return [path for method, path, _ in self.requests if method == "GET"]

    def answer(self, handler, is_head):
        self.times.append(time.monotonic())
        self.requests.append((handler.command, handler.path, handler.headers.get("Range")))
        _, habit, name = handler.path.split("/", 2)
        try:
            self.answer_as(habit, name.split("?")[0], handler, is_head)
        except (BrokenPipeError, ConnectionResetError):
            handler.close_connection = True

    def answer_as(self, habit, name, handler, is_head):
        if habit in ("loop", "moved", "local"):
            target = {"loop": handler.path, "moved": f"/range/{name}",
                      "local": "file:///etc/hostname"}[habit]
            return self.send_empty(handler, 302, [("Location", target)])
        if habit == "busy" and not is_head and self.busy < 2:
            self.busy += 1
            return self.send_empty(handler, 503)
        if habit == "nohead" and is_head:
            return self.send_empty(handler, 405)
        content = self.files.get(name)
        if habit == "gone" or content is None:
            return self.send_empty(handler, 404)
        return self.send_content(habit, content, handler, is_head)

    @staticmethod
    def send_empty(handler, status, headers=()):
        handler.send_response(status)
        for header in headers:
            handler.send_header(*header)
        handler.send_header("Content-Length", "0")
        handler.end_headers()

    def send_content(self, habit, content, handler, is_head):
        has_ranges = habit not in ("plain", "short", "silent")
        tag = '"' + hashlib.md5(content).hexdigest() + '"'
        begin = 0
        wanted = handler.headers.get("Range")
        if has_ranges and wanted and handler.headers.get("If-Range") in (None, tag):
            begin = int(wanted.removeprefix("bytes=").rstrip("-"))
            if begin >= len(content):
                return self.send_empty(handler, 416)
            handler.send_response(206)
            handler.send_header("Content-Range", f"bytes {begin}-{len(content) - 1}/{len(content)}")
        else:
            handler.send_response(200)
        if has_ranges:
            handler.send_header("ETag", tag)
        else:
            handler.send_header("Last-Modified", "Tue, 01 Jun 2021 10:00:00 GMT")
        body = content[begin:]
        if habit == "unsized":
            handler.send_header("Transfer-Encoding", "chunked")
        else:
            handler.send_header("Content-Length", str(len(body)))
        handler.end_headers()
        if not is_head:
            self.send_body(habit, body, len(content), handler)
        return None

    def send_body(self, habit, body, whole, handler):
        if habit == "unsized":
            for at in range(0, len(body), PIECE):
                piece = body[at:at + PIECE]
                handler.wfile.write(b"%x\r\n%s\r\n" % (len(piece), piece))
            handler.wfile.write(b"0\r\n\r\n")
            return
        if habit == "short":
            body = body[:len(body) // 2]
        if habit == "broken":
            body = body[:whole // 3 + 1]
        if habit == "silent":
            body = body[:whole // 2]
        for at in range(0, len(body), PIECE):
            handler.wfile.write(body[at:at + PIECE])
            if habit == "slow":
                handler.wfile.flush()
                self.hurry.wait(0.05)
        handler.wfile.flush()
        if habit == "silent":
            self.over.wait(60)
        if habit in ("short", "broken", "silent"):
            handler.close_connection = True
