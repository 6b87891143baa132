"""The same on other machines: scheduler and workers as processes of their own, one of them killed on the way."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from answers import Answer
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID
from dask_processes import DaskProcesses
from made_lake import made_lake

from tracker.errors import RequestError
from tracker.lake.counts import lake_counts
from tracker.lake.dask_runner import DaskRunner, TlsFiles
from tracker.lake.runner import LineRunner

ROOT = Path(__file__).parents[2]
COMMAND = [sys.executable, "-m", "tracker.cli.main"]


def strikeladder(*arguments: object) -> Answer:
    ran = subprocess.run([*COMMAND, *map(str, arguments)], cwd=ROOT, capture_output=True, text=True, check=False)
    return Answer(code=ran.returncode, out=ran.stdout, err=ran.stderr)


def test_a_worker_killed_on_the_way_changes_no_row(tmp_path: Path) -> None:
    files, results = made_lake(tmp_path / "lake", clubs=40), tmp_path / "results"
    here = lake_counts(LineRunner(), files)
    with DaskProcesses(folder=tmp_path) as dask:
        options = ["--engine", "dask", "--scheduler", dask.address, "--format", "json", "--results", str(results)]
        run = subprocess.Popen(
            [*COMMAND, "lake", "rates", str(tmp_path / "lake"), "--by", "player,foot,stage", *options],
            cwd=ROOT,
            stdout=subprocess.PIPE,
        )
        while not results.exists() or len(list(results.iterdir())) < 10:
            assert run.poll() is None
            time.sleep(0.005)
        dask.kill_a_worker()
        done_before = len([file for file in results.iterdir() if file.suffix == ".parquet"])
        out, _ = run.communicate(timeout=120)
        assert run.returncode == 0
        assert done_before < 2 * len(files)
        again = lake_counts(DaskRunner(scheduler=dask.address), files)
    assert again.by_player.equals(here.by_player)
    assert again.by_practice_size.equals(here.by_practice_size)
    alone = strikeladder("lake", "rates", tmp_path / "lake", "--by", "player,foot,stage", "--format", "json")
    assert len(alone.rows) > 1000
    assert json.loads(out) == alone.rows


def self_signed(folder: Path) -> TlsFiles:
    """A certificate that is its own authority, for scheduler, worker and client alike."""
    key, name = ec.generate_private_key(ec.SECP256R1()), x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "lake")])
    now = datetime.now(UTC)
    certificate = (
        x509.CertificateBuilder(name, name, key.public_key(), x509.random_serial_number(), now, now + timedelta(days=1))
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    pem = serialization.Encoding.PEM
    plain = (pem, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    (folder / "cert.pem").write_bytes(certificate.public_bytes(pem))
    (folder / "key.pem").write_bytes(key.private_bytes(*plain))
    return TlsFiles(ca=folder / "cert.pem", cert=folder / "cert.pem", key=folder / "key.pem")


def test_over_tls_only_who_has_a_certificate_is_answered(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    files, tls = made_lake(tmp_path / "lake", clubs=2), self_signed(tmp_path)
    options = ["--tls-ca-file", str(tls.ca), "--tls-cert", str(tls.cert), "--tls-key", str(tls.key)]
    with DaskProcesses(folder=tmp_path, workers=1, tls=options) as dask:
        assert dask.address.startswith("tls://")
        there = lake_counts(DaskRunner(scheduler=dask.address, tls=tls), files)
        with pytest.raises(RequestError, match="speaks TLS only"):
            DaskRunner(scheduler=dask.address).map(abs, [1])
        monkeypatch.setattr("tracker.lake.dask_runner.SECONDS_TO_ANSWER", 2)
        with pytest.raises(RequestError, match="No dask scheduler answers"):
            DaskRunner(scheduler=dask.address.replace("tls://", "tcp://")).map(abs, [1])
    assert there.by_player.equals(lake_counts(LineRunner(), files).by_player)


def test_an_address_where_nobody_answers_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tracker.lake.dask_runner.SECONDS_TO_ANSWER", 1)
    with pytest.raises(RequestError, match=r"No dask scheduler answers at tcp://127\.0\.0\.1:9"):
        DaskRunner(scheduler="tcp://127.0.0.1:9").map(abs, [1])


def test_without_the_extra_one_sentence_says_how_to_install_it(tmp_path: Path) -> None:
    made_lake(tmp_path, clubs=1)
    code = "import sys; sys.modules['distributed'] = None; from tracker.cli.main import main; main()"
    arguments = ["lake", "rates", str(tmp_path), "--engine", "dask", "--scheduler", "tcp://127.0.0.1:9"]
    ran = subprocess.run(
        [sys.executable, "-c", code, *arguments], cwd=ROOT, capture_output=True, text=True, check=False
    )
    answer = Answer(code=ran.returncode, out=ran.stdout, err=ran.stderr)
    assert answer.code == 1
    assert answer.sentence == "The engine dask is not installed. Install it with: pip install 'strike-ladder[lake]'"
