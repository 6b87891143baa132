"""Work on other machines, by dask.distributed. The only module that knows dask; install with the extra ``lake``."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tracker.errors import RequestError
from tracker.lake.runner import Job, Result

HOW_TO_INSTALL = "pip install 'strike-ladder[lake]'"
RETRIES = 3
SECONDS_TO_ANSWER = 10


@dataclass(frozen=True, kw_only=True, slots=True)
class TlsFiles:
    """The certificate authority, and this client's certificate and key, as PEM files."""

    ca: Path
    cert: Path
    key: Path


@dataclass(frozen=True, kw_only=True, slots=True)
class DaskRunner:
    """A dask scheduler and its workers. They need this program installed, and must see the files by the same paths.

    A worker that is lost loses nothing: its jobs are done again by others. Without ``tls`` anybody who reaches the
    scheduler can run code on every worker: only for a private network.
    """

    scheduler: str
    tls: TlsFiles | None = None

    def map(self, work: Callable[[Job], Result], jobs: Sequence[Job]) -> list[Result]:
        """The result of every job, in the order of the jobs. Raises RequestError when dask or its scheduler is away."""
        try:
            import distributed
        except ImportError as error:
            raise RequestError(f"The engine dask is not installed. Install it with: {HOW_TO_INSTALL}") from error
        if self.scheduler.startswith("tls://") and self.tls is None:
            raise RequestError(f"{self.scheduler} speaks TLS only: give --tls-ca, --tls-cert and --tls-key.")
        try:
            open_client: Any = distributed.Client
            client = open_client(
                self.scheduler, timeout=SECONDS_TO_ANSWER, set_as_default=False, security=self._security(distributed)
            )
        except (OSError, ValueError) as error:
            raise RequestError(
                f"No dask scheduler answers at {self.scheduler}. Start one with `dask scheduler`, and workers with "
                "`dask worker ADDRESS`; --scheduler is the address it prints, such as tcp://10.0.0.5:8786."
            ) from error
        with client:
            futures = client.map(work, list(jobs), retries=RETRIES, pure=False)
            try:
                results: list[Result] = client.gather(futures)
            except (distributed.KilledWorker, distributed.client.FutureCancelledError) as error:
                raise RequestError(
                    f"The work at {self.scheduler} was lost ({type(error).__name__}). Check the scheduler and its "
                    "workers, then run the same again; with --results what is done already is not done twice."
                ) from error
        return results

    def _security(self, distributed: Any) -> Any:
        if self.tls is None:
            return None
        return distributed.Security(
            tls_ca_file=str(self.tls.ca),
            tls_client_cert=str(self.tls.cert),
            tls_client_key=str(self.tls.key),
            require_encryption=True,
        )
