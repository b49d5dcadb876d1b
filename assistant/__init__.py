"""Everything that touches the world: ears, talk, memory, terminal and page. README.md here has its law."""

import os

# The matrices of the phone reader are small: threads that share one out wait for each other longer than it takes (15
# times as long beside another busy process). Read when NumPy is first imported, here or in a worker.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
