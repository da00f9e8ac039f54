"""What is entered on a page is taken in its order by the thread of the cells, though Lab sends it to one beside."""

import json

import pytest
from jupyter_client.manager import KernelManager

PAGE = """
import threading, time
import ipywidgets as w
from IPython.display import display
from coursekit.lesson.screen.widgets import View, button
taken = []
def take(what):
    taken.append([what, threading.current_thread() is threading.main_thread()])
    time.sleep(0.1)
one, other = w.Text(), w.Text()
for field in (one, other):
    field.observe(lambda change: take(change["new"]), "value")
press = button("press", lambda: take("pressed"))
display(View([one, other, press]))
print(*(part.comm.comm_id for part in (one, other, press)))
"""
TAKEN = "import json; print(json.dumps(taken))"


@pytest.fixture
def client(forked_kernels, monkeypatch):
    monkeypatch.setenv("JUPYTER_PATH", forked_kernels)
    manager = KernelManager(kernel_name="python3")
    manager.start_kernel()
    client = manager.client()
    client.start_channels()
    client.wait_for_ready(timeout=120)
    yield client
    client.stop_channels()
    manager.shutdown_kernel(now=True)


def printed(client, code):
    told = []
    client.execute_interactive(code, timeout=120, output_hook=lambda message: told.append(message))
    return "".join(one["content"]["text"] for one in told if one["msg_type"] == "stream")


def thread_beside(client):
    """One is asked for, as Lab does; its name."""
    asked = client.session.msg("create_subshell_request")
    client.control_channel.send(asked)
    return client.control_channel.get_msg(timeout=120)["content"].get("subshell_id")


def enter(client, comm, beside, **data):
    """What a page sends when something is entered; its id."""
    message = client.session.msg("comm_msg", {"comm_id": comm, "data": data})
    message["header"]["subshell_id"] = beside
    client.shell_channel.send(message)
    return message["header"]["msg_id"]


def done(client, *messages):
    left = set(messages)
    while left:
        told = client.get_iopub_msg(timeout=120)
        if told["msg_type"] == "status" and told["content"]["execution_state"] == "idle":
            left.discard(told["parent_header"].get("msg_id"))


def test_entries_are_taken_one_after_another_in_one_thread(client):
    one, other, press = printed(client, PAGE).split()
    beside = thread_beside(client)
    if beside is None:
        pytest.skip("this kernel knows no threads beside the one of its cells")

    def write(comm, text):
        return enter(client, comm, beside, method="update", state={"value": text})

    done(client, write(one, "1"))
    pressed = {"method": "custom", "content": {"event": "click"}}
    done(client, write(one, "2"), write(other, "3"), write(one, "4"), enter(client, press, beside, **pressed))
    taken = json.loads(printed(client, TAKEN))
    assert [what for what, _ in taken] == ["1", "2", "3", "4", "pressed"]
    assert all(in_the_thread_of_the_cells for _, in_the_thread_of_the_cells in taken)
