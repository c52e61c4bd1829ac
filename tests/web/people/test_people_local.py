"""Local mode: one person, loopback only, no login; other web sites cannot reach in."""

from pathlib import Path

import pytest
from flask.testing import FlaskClient

from estimator.config import Config
from estimator.finding import InputRefused
from estimator.store.database import open_database
from estimator.store.migrate import schema_state
from estimator.web.app import create_app
from estimator.web.caller import caller
from estimator.web.serve import check_address, prepare_database, server_settings


@pytest.fixture
def config(tmp_path: Path) -> Config:
    return Config(database_url=f"sqlite:///{tmp_path / 'new' / 'estimator.sqlite'}")


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> FlaskClient:
    file = tmp_path_factory.mktemp("local") / "estimator.sqlite"
    config = Config(database_url=f"sqlite:///{file}")
    prepare_database(config)
    return create_app(config).test_client()


def test_the_first_start_makes_the_tables_and_one_organisation(config: Config) -> None:
    prepare_database(config)
    prepare_database(config)

    opened = open_database(config.database_url)
    assert schema_state(opened).up_to_date
    app = create_app(config)
    with app.test_request_context("/"):
        who = caller()
    opened.close()
    assert (who.role, who.by, who.scope.organisation_id) == ("owner", "local", 1)


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.0.2.7", "estimates.example.org", ""])
def test_local_mode_refuses_to_listen_where_others_could_reach_it(host: str) -> None:
    with pytest.raises(InputRefused, match="settings") as refused:
        server_settings(Config(host=host))

    assert refused.value.faults[0].where == "ESTIMATOR_HOST"
    assert "ESTIMATOR_MODE=shared" in refused.value.faults[0].message


@pytest.mark.parametrize("host", ["127.0.0.1", "::1", "localhost"])
def test_local_mode_listens_on_loopback(host: str) -> None:
    check_address(Config(host=host))
    assert str(Config().port) in server_settings(Config(host=host))["bind"]


def test_shared_mode_may_listen_anywhere() -> None:
    assert server_settings(Config(mode="shared", host="0.0.0.0"))["bind"] == "0.0.0.0:8460"


def test_a_mode_that_is_none_is_refused() -> None:
    with pytest.raises(InputRefused) as refused:
        Config.from_environment({"ESTIMATOR_MODE": "public", "ESTIMATOR_PORT": "x"})

    assert [fault.where for fault in refused.value.faults] == ["ESTIMATOR_MODE", "ESTIMATOR_PORT"]


def test_there_is_no_sign_in_in_local_mode(client: FlaskClient) -> None:
    assert client.get("/sign-in").status_code == 404
    assert client.get("/").status_code == 200


@pytest.mark.parametrize(
    "host", ["attacker.example", "127.0.0.1.attacker.example:8460", "192.0.2.7"]
)
def test_a_foreign_name_that_points_here_is_not_answered(client: FlaskClient, host: str) -> None:
    assert client.get("/api/v1/jobs", headers={"Host": host}).status_code == 421


@pytest.mark.parametrize("host", ["127.0.0.1:8460", "localhost", "[::1]:8460", "LOCALHOST:1"])
def test_this_machines_names_are_answered(client: FlaskClient, host: str) -> None:
    assert client.get("/health", headers={"Host": host}).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "https://attacker.example"},
        {"Origin": "null"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site", "Origin": "http://localhost"},
    ],
)
def test_another_site_cannot_make_a_browser_change_anything(
    client: FlaskClient, headers: dict[str, str]
) -> None:
    answer = client.post("/", data={"wall": "brick"}, headers=headers)

    assert answer.status_code == 403
    assert "another web site" in answer.get_json()["detail"]


@pytest.mark.parametrize(
    "headers", [{}, {"Origin": "http://localhost"}, {"Sec-Fetch-Site": "same-origin"}]
)
def test_our_own_pages_and_programs_can(client: FlaskClient, headers: dict[str, str]) -> None:
    assert client.post("/", data={"wall": "brick"}, headers=headers).status_code == 303
