"""Kernels forked from a process that has the course imported: a process for each notebook, imports once for all.

`forking` serves them while it is open and gives a folder: where `JUPYTER_PATH` names it, Jupyter finds there a
`python3` whose command (`follow`) only asks for a fork, hands on signals and ends with it. Folder, environment and
arguments are those of the kernel that was asked for.
"""

import contextlib
import json
import os
import select
import signal
import socket
import subprocess
import sys
import tempfile
from pathlib import Path

# What a notebook comes to import; with the back end that a kernel sets before it does.
ASKED = ("ipykernel.kernelapp", "coursekit.lesson", "coursekit.lesson.workbench.view", "coursekit.lesson.plan.view")
BACK_END = "module://matplotlib_inline.backend_inline"


@contextlib.contextmanager
def forking():
    with tempfile.TemporaryDirectory(prefix="kernels-") as folder:
        place = f"{folder}/socket"
        spec = Path(folder) / "kernels" / "python3" / "kernel.json"
        spec.parent.mkdir(parents=True)
        # -I -S: it starts in a hundredth of a second.
        command = [sys.executable, "-I", "-S", __file__, "follow", place, "-f", "{connection_file}"]
        spec.write_text(json.dumps({"argv": command, "display_name": "Python 3", "language": "python"}))
        server = subprocess.Popen(
            [sys.executable, "-m", "tests.forked_kernels", "serve", place],
            cwd=Path(__file__).parents[1],
            env={**os.environ, "MPLBACKEND": BACK_END, "COURSEKIT_HOME": folder},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
        )
        try:
            assert server.stdout.readline() == b"ready\n"
            yield folder
        finally:
            server.terminate()
            server.communicate()


def serve(place):
    """Fork for each that calls; what it asks for is done in the fork of a fork, which the first waits for."""
    from importlib import import_module

    for name in ASKED:
        import_module(name)
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # nobody asks how they ended
    with socket.socket(socket.AF_UNIX) as heard:
        heard.bind(place)
        heard.listen()
        print("ready", flush=True)
        while True:
            caller, _ = heard.accept()
            if os.fork() == 0:
                heard.close()
                signal.signal(signal.SIGCHLD, signal.SIG_DFL)
                guard(caller)
            caller.close()


def guard(caller):
    """A kernel for this caller: signals go to it, its end to the caller; it does not outlive the caller."""
    asked = json.loads(caller.makefile().readline())
    alive, held = os.pipe()  # held open by the kernel alone
    kernel = os.fork()
    if kernel == 0:
        os.close(alive)
        caller.close()
        become(asked)
    os.close(held)
    while True:
        told, _, _ = select.select([caller, alive], [], [])
        if alive in told:
            break
        if not (number := caller.recv(1)):
            os.kill(kernel, signal.SIGKILL)
            break
        os.kill(kernel, number[0])
    _, status = os.waitpid(kernel, 0)
    with contextlib.suppress(OSError):
        caller.send(bytes([abs(os.waitstatus_to_exitcode(status)) % 256]))
    os._exit(0)


def become(asked):
    os.setsid()
    os.environ.clear()
    os.environ.update(asked["environment"])
    os.chdir(asked["folder"])
    # It ends with the process that forked it, as any kernel does with the one that started it.
    sys.argv = ["ipykernel_launcher", f"--IPKernelApp.parent_handle={os.getppid()}", *asked["arguments"]]
    from ipykernel.kernelapp import IPKernelApp

    code = 1
    try:
        IPKernelApp.launch_instance()
        code = 0
    except SystemExit as end:
        code = end.code or 0
    finally:
        sys.stdout.flush()
        os._exit(code)


def follow(place, *arguments):
    """What Jupyter takes for the kernel."""
    with socket.socket(socket.AF_UNIX) as server:
        server.connect(place)
        asked = {"environment": dict(os.environ), "folder": os.getcwd(), "arguments": arguments}
        server.sendall(json.dumps(asked).encode() + b"\n")
        for number in (signal.SIGINT, signal.SIGTERM):
            signal.signal(number, lambda number, _: server.send(bytes([number])))
        sys.exit((server.recv(1) or b"\1")[0])


if __name__ == "__main__":
    {"serve": serve, "follow": follow}[sys.argv[1]](*sys.argv[2:])
