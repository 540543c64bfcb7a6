"""Chromium as a test drives it, over the browser's own debugging protocol on a pipe
(messages of JSON, each ended by a zero byte), so that nothing but Python and the browser
is needed."""

import base64
import json
import os
import pathlib
import select
import subprocess
import sys
import time


class Browser:
    def __init__(self, profile, allowed=("file:", "data:", "blob:")):
        """`allowed`: what the addresses of everything that is fetched may begin with."""
        self.allowed = tuple(allowed)
        ours, theirs = os.pipe(), os.pipe()

        def fds():
            # The browser reads from 3 and writes to 4.
            os.dup2(ours[0], 60)
            os.dup2(theirs[1], 61)
            os.dup2(60, 3)
            os.dup2(61, 4)

        flags = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
                 "--disable-background-networking", "--disable-component-update", "--disable-sync",
                 "--mute-audio", "--autoplay-policy=no-user-gesture-required",
                 "--remote-debugging-pipe", f"--user-data-dir={profile}", "about:blank"]
        self.process = subprocess.Popen(["chromium", *flags], preexec_fn=fds, close_fds=False,
                                        stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
                                        stderr=subprocess.DEVNULL)
        os.close(ours[0])
        os.close(theirs[1])
        self.out, self.into = ours[1], theirs[0]
        self.rest, self.number, self.session, self.wrong = b"", 0, None, []
        targets = self.ask("Target.getTargets")["targetInfos"]
        page = next(t for t in targets if t["type"] == "page")
        attached = self.ask("Target.attachToTarget", targetId=page["targetId"], flatten=True)
        self.session = attached["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            self.ask(f"{domain}.enable")

    def read(self, seconds):
        """The next message; None where none comes in time."""
        until = time.monotonic() + seconds
        while b"\0" not in self.rest:
            left = until - time.monotonic()
            if left <= 0 or not select.select([self.into], [], [], left)[0]:
                return None
            more = os.read(self.into, 1 << 20)
            if not more:
                sys.exit("the browser went away")
            self.rest += more
        one, self.rest = self.rest.split(b"\0", 1)
        message = json.loads(one)
        self.notice(message)
        return message

    def notice(self, message):
        """Keeps what a person would find in the console."""
        what, told = message.get("method"), message.get("params", {})
        if what == "Runtime.exceptionThrown":
            self.wrong.append(json.dumps(told["exceptionDetails"])[:400])
        elif what == "Runtime.consoleAPICalled" and told["type"] in ("error", "assert"):
            self.wrong.append(json.dumps(told["args"])[:400])
        elif what == "Network.requestWillBeSent":
            if not told["request"]["url"].startswith(self.allowed):
                self.wrong.append("asked for " + told["request"]["url"])
        elif what == "Log.entryAdded" and told["entry"]["level"] == "error":
            # A song that is not beside the page is looked for and not found.
            if not told["entry"].get("url", "").endswith(".wav"):
                self.wrong.append(json.dumps(told["entry"])[:400])

    def ask(self, method, **params):
        self.number += 1
        message = {"id": self.number, "method": method, "params": params}
        if self.session:
            message["sessionId"] = self.session
        os.write(self.out, json.dumps(message).encode() + b"\0")
        until = time.monotonic() + 60
        while time.monotonic() < until:
            answer = self.read(60)
            if answer and answer.get("id") == self.number:
                if "error" in answer:
                    sys.exit(f"{method}: {answer['error']}")
                return answer["result"]
        sys.exit(f"{method}: no answer")

    def do(self, script):
        """The value of an expression of the page."""
        got = self.ask("Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True,
                       userGesture=True)
        if "exceptionDetails" in got:
            sys.exit(f"{script}: {json.dumps(got['exceptionDetails'])[:600]}")
        return got["result"].get("value")

    def size(self, width, height, phone=False):
        self.ask("Emulation.setDeviceMetricsOverride", width=width, height=height,
                 deviceScaleFactor=1, mobile=phone)

    def prefers(self, **features):
        told = [{"name": f"prefers-{k.replace('_', '-')}", "value": v} for k, v in features.items()]
        self.ask("Emulation.setEmulatedMedia", features=told)

    def open(self, file):
        """A page by its file, or by its address."""
        web = str(file).startswith("http:")
        self.ask("Page.navigate", url=str(file) if web else pathlib.Path(file).resolve().as_uri())
        self.until("document.readyState === 'complete' && !!window.yardwright")

    def until(self, script, seconds=20):
        end = time.monotonic() + seconds
        while not self.do(script):
            if time.monotonic() > end:
                sys.exit(f"waited {seconds} s for: {script}")
            time.sleep(0.03)

    def picture(self, file):
        shot = self.ask("Page.captureScreenshot", format="png", captureBeyondViewport=True)
        pathlib.Path(file).write_bytes(base64.b64decode(shot["data"]))

    def end(self):
        self.process.terminate()
        try:
            self.process.wait(10)
        except subprocess.TimeoutExpired:
            self.process.kill()


def hold(fine, what):
    if not fine:
        raise AssertionError(what)
