# SPDX-License-Identifier: MIT
"""A server of git registries on the loopback, which can be told to cut its line: git's own http-backend behind
http.server, as CGI (RFC 3875).

    with Server(folder, environment) as server:
        server.url("shore.git"); server.cut_after = 700      bytes of the next answers; None: all of them
"""
import http.server
import os
import socket
import subprocess
import threading
import time

PIECE = 1024


class Handler(http.server.BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.0"

    def log_message(self, *_):  # pylint: disable=arguments-differ
        pass

    def do_GET(self):
        self.answer()

    def do_POST(self):
        self.answer()

    def body(self):
        """What came with the request; git sends large ones in chunks."""
        if self.headers.get("Transfer-Encoding", "") != "chunked":
            return self.rfile.read(int(self.headers.get("Content-Length", 0)))
        whole = b""
        while True:
            size = int(self.rfile.readline().strip() or b"0", 16)
            whole += self.rfile.read(size)
            self.rfile.readline()
            if not size:
                return whole

    def answer(self):
        path, _, query = self.path.partition("?")
        owner = self.server.owner
        owner.asked.append(self.path)
        env = dict(owner.env, GIT_PROJECT_ROOT=owner.folder, GIT_HTTP_EXPORT_ALL="1", PATH_INFO=path, QUERY_STRING=query,
                   REQUEST_METHOD=self.command, CONTENT_TYPE=self.headers.get("Content-Type", ""), REMOTE_USER="ship",
                   REMOTE_ADDR="127.0.0.1", SERVER_PROTOCOL="HTTP/1.1", GIT_PROTOCOL=self.headers.get("Git-Protocol", ""),
                   HTTP_CONTENT_ENCODING=self.headers.get("Content-Encoding", ""))
        try:
            body = self.body()
            if owner.cut_asking is not None and len(body) > owner.cut_asking:
                owner.cut_asking = None
                return self.cut()
            with subprocess.Popen(["git", "http-backend"], env=env, stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                                  stderr=subprocess.DEVNULL) as backend:
                self.stream(backend, body)
        except OSError:
            pass  # the other side went away
        return None

    def stream(self, backend, body):
        threading.Thread(target=feed, args=(backend, body), daemon=True).start()
        status = 200
        headers = []
        for line in iter(backend.stdout.readline, b"\r\n"):
            if not line:
                break
            name, value = line.decode().strip().split(": ", 1)
            if name == "Status":
                status = int(value.split()[0])
            else:
                headers.append((name, value))
        self.send_response(status)
        for name, value in headers:
            self.send_header(name, value)
        self.end_headers()
        sent = 0
        owner = self.server.owner
        for piece in iter(lambda: backend.stdout.read1(PIECE), b""):
            if owner.cut_after is not None and sent + len(piece) > owner.cut_after:
                self.wfile.write(piece[:max(0, owner.cut_after - sent)])
                self.wfile.flush()
                backend.kill()
                self.cut()
                return
            self.wfile.write(piece)
            sent += len(piece)
            owner.bytes += len(piece)
            if owner.pause:
                time.sleep(owner.pause)

    def cut(self):
        try:
            self.connection.shutdown(socket.SHUT_RDWR)
        except OSError:
            pass


def feed(backend, body):
    try:
        backend.stdin.write(body)
        backend.stdin.close()
    except (OSError, ValueError):
        pass


class Quiet(http.server.ThreadingHTTPServer):
    daemon_threads = True
    block_on_close = False

    def handle_error(self, *_):
        pass


class Server:
    def __init__(self, folder, env):
        self.folder, self.env = folder, env
        self.asked, self.bytes = [], 0
        self.cut_after = None   # bytes of an answer
        self.cut_asking = None  # a question of more bytes than this gets no answer, once
        self.pause = 0          # seconds between two pieces
        self.http = Quiet(("127.0.0.1", 0), Handler)
        self.http.owner = self
        self.thread = threading.Thread(target=self.http.serve_forever, daemon=True)

    def url(self, name):
        return f"http://127.0.0.1:{self.http.server_address[1]}/{name}"

    def __enter__(self):
        self.thread.start()
        return self

    def __exit__(self, *_):
        self.http.shutdown()
        self.http.server_close()


def children(process):
    """Ids of what a process has started, and what that has."""
    found = []
    try:
        tasks = os.listdir(f"/proc/{process}/task")
    except OSError:
        return found
    for task in tasks:
        try:
            with open(f"/proc/{process}/task/{task}/children", encoding="ascii") as file:
                direct = [int(word) for word in file.read().split()]
        except OSError:
            continue
        for child in direct:
            found += [child] + children(child)
    return found
