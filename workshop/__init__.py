"""Walk a build of timber and resin through nine stages, over one project file."""

import os

# The cure's matrices are small: threads of the linear algebra library would only get in each other's way. It
# reads this when numpy is first imported.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
