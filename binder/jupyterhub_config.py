"""JupyterHub for a class in one room, on one machine: README.md in this folder says how to start it.

Each learner has an account and a home of their own on the machine; the machine's own rights keep them apart. What
JupyterHub's usual spawner does not enforce – memory, number of processes, processors – the kernel of the system does,
by the limits that are set here in each learner's server before it starts.
"""

import os
import resource
import sys
from pathlib import Path

from jupyterhub.spawner import LocalProcessSpawner

c = get_config()  # noqa: F821 – JupyterHub gives it

HERE = Path(__file__).resolve().parent
STATE = Path(os.environ.get("COURSEKIT_HUB", "/srv/coursekit-hub"))
MEMORY = int(os.environ.get("COURSEKIT_MEMORY", str(1024**3)))  # bytes of data a process of a learner may hold
PROCESSES = 300  # threads count too
PROCESSORS = int(os.environ.get("COURSEKIT_PROCESSORS", "1"))  # that a learner may use at once
IDLE = 3600  # s without a move, after which a server is stopped; what was answered is on the disk by then
LEARNERS, INSTRUCTORS = "learners", "instructors"  # groups of the machine


class RoomSpawner(LocalProcessSpawner):
    """A learner's server as their own user, within limits that the system enforces for each of its processes."""

    def make_preexec_fn(self, name):
        become = super().make_preexec_fn(name)
        processors = sorted(os.sched_getaffinity(0))
        first = sum(name.encode()) % len(processors)  # learners spread over the processors
        mine = {processors[(first + step) % len(processors)] for step in range(min(PROCESSORS, len(processors)))}

        def prepare():
            resource.setrlimit(resource.RLIMIT_DATA, (MEMORY, MEMORY))
            resource.setrlimit(resource.RLIMIT_NPROC, (PROCESSES, PROCESSES))
            resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
            os.sched_setaffinity(0, mine)
            os.umask(0o027)  # what is handed in is read by the instructors' group, and by nobody else
            become()

        return prepare


STATE.mkdir(mode=0o700, parents=True, exist_ok=True)
STATE.chmod(0o700)

# On this machine alone, unless told otherwise; before it is opened to a network it needs a certificate.
c.JupyterHub.bind_url = os.environ.get("COURSEKIT_BIND", "http://127.0.0.1:8000")
c.JupyterHub.hub_bind_url = "http://127.0.0.1:8081"
c.JupyterHub.db_url = f"sqlite:///{STATE / 'jupyterhub.sqlite'}"
c.JupyterHub.cookie_secret_file = str(STATE / "cookie_secret")
c.ConfigurableHTTPProxy.pid_file = str(STATE / "proxy.pid")
c.JupyterHub.cleanup_servers = False  # a hub that is stopped or killed leaves the learners' servers at work

# Who may come in: accounts of this machine in one of two groups, with the password of the account.
c.JupyterHub.authenticator_class = "pam"
c.Authenticator.allow_all = False
c.LocalAuthenticator.allowed_groups = {LEARNERS, INSTRUCTORS}
c.PAMAuthenticator.open_sessions = False  # the hub's own limits count, in a container too
c.PAMAuthenticator.admin_groups = set()  # nobody enters another's server through the hub

c.JupyterHub.spawner_class = RoomSpawner
c.Spawner.cmd = [str(HERE / "learner-server")]
c.Spawner.notebook_dir = "~"
c.Spawner.default_url = "/lab/tree/lessons/00-start-here.ipynb"
c.Spawner.mem_limit = MEMORY  # shown to the learner; the limit itself is set above
c.Spawner.cpu_limit = float(PROCESSORS)
c.Spawner.start_timeout = 240  # s; forty who come at once wait for each other
c.Spawner.http_timeout = 180  # s; the usual 30 were too few on a machine with much to do
c.Spawner.environment = {
    "COURSEKIT_PYTHON": sys.executable,
    "OPENBLAS_NUM_THREADS": "1",
    "OMP_NUM_THREADS": "1",
}
c.Spawner.args = [
    f"--MappingKernelManager.cull_idle_timeout={IDLE}",
    "--MappingKernelManager.cull_connected=True",  # a tab left open holds no kernel for ever
    # Sockets in the learner's own home: of forty kernels that take ports at once, two got one that was taken already,
    # and a port on this machine can be reached by every other learner.
    "--KernelManager.transport=ipc",
    # Forty kernels that start at once on two processors: the usual 60 s break the browser's line to the last of them.
    "--MappingKernelManager.kernel_info_timeout=240",
]
c.JupyterHub.concurrent_spawn_limit = 0  # a class comes at once: each waits for a page, nobody is sent away
c.JupyterHub.active_server_limit = 60

c.JupyterHub.load_roles = [
    {
        "name": "idle-culler",
        "scopes": ["list:users", "read:users:activity", "read:servers", "delete:servers"],
        "services": ["idle-culler"],
    }
]
c.JupyterHub.services = [
    {
        "name": "idle-culler",
        "command": [sys.executable, "-m", "jupyterhub_idle_culler", f"--timeout={IDLE}", "--cull-every=300"],
    }
]
