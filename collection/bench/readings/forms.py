"""A reading as it is typed in: how it was read, then each socket; what looks odd is asked about."""

from decimal import Decimal
from typing import Any

from django import forms

from collection.bench.caution import Caution, cautions
from collection.bench.readings import actions, queries
from collection.bench.record_form import RecordForm
from collection.core.dissipation import target_ma
from collection.core.events.measured import METHODS, SocketRead
from collection.core.idle_reading import published_limit
from collection.core.odd_reading import odd, odd_currents
from collection.ledger.asking import AskingForm, VoltsField, as_text
from collection.ledger.models import Event

MAINS_FAR, PLATE_FAR = Decimal("1.3"), Decimal("1.5")
MAINS = Decimal(230)
CONDITIONS = ("mains_volts", "minutes_warm", "meter", "method")
ROW = ("plate", "cathode", "screen", "ohms")  # of one socket, rarely typed


class MeasureForm(AskingForm, RecordForm):
    """Idle currents and volts of the output sockets, as the circuit sets its bias."""

    kind, title = "measured", "Readings"
    mains_volts = VoltsField(label="Mains, V")
    minutes_warm = forms.IntegerField(
        required=False, min_value=0, max_value=600, label="Minutes warm"
    )
    plate_volts = VoltsField(label="HT, V")
    bias_volts = VoltsField(label="At the control, V", help_text="Minus is understood.")
    shared_volts = VoltsField(label="Across the shared cathode resistor, V")
    shared_ohms = VoltsField(label="That resistor as measured, Ω")
    meter = forms.CharField(required=False, max_length=60, label="Meter")
    method = forms.ChoiceField(
        choices=[(key, words[0].upper() + words[1:]) for key, words in METHODS.items()],
        initial="probe",
        label="Where the current was read",
    )

    def __init__(self, *args, piece, **kwargs) -> None:
        super().__init__(*args, piece=piece, **kwargs)
        self.bias = piece.circuit.bias if piece.circuit else "own"
        self.sockets = queries.measurable(piece, self.state)
        self.last = queries.latest([piece]).get(piece.code)
        self.limits = queries.limits_of(piece.collection, [one.type for one in self.sockets])
        for number, socket in enumerate(self.sockets):
            self._add_socket(number, socket.position.name)
        self._fit_to_bias()
        self._as_last_time()

    def _add_socket(self, number: int, name: str) -> None:
        self.fields[f"ma_{number}"] = VoltsField(label=f"{name}, mA")
        labels = ("plate, V", "cathode, V", "screen, mA", "resistor as measured, Ω")
        for field, words in zip(ROW, labels, strict=True):
            self.fields[f"{field}_{number}"] = VoltsField(label=f"{name} {words}")

    def _fit_to_bias(self) -> None:
        drop = {"fixed": ("shared_volts", "shared_ohms"), "cathode": ("bias_volts",)}
        for name in drop.get(self.bias, ("bias_volts", "shared_volts", "shared_ohms")):
            del self.fields[name]
        if self.bias == "cathode":
            self.fields["method"].initial = "resistor"

    def _as_last_time(self) -> None:
        """Conditions stand as last time; nothing that was read is ever filled in."""
        if self.last:
            said = self.last.said
            self.fields["method"].initial = said.method
            self.fields["meter"].initial = said.meter
            self.fields["minutes_warm"].initial = said.minutes_warm
        self.fields["meter"].widget.attrs["placeholder"] = "which one"

    # -- how the page lays it out ----------------------------------------------------------------
    @property
    def bias_words(self) -> str:
        """What sets the bias, as a sentence begins."""
        return queries.BIAS.get(self.bias, queries.BIAS["own"])

    @property
    def before(self) -> list[Caution]:
        """What stands before anybody opens it."""
        return list(cautions(self.piece, "inspected", self.state))

    @property
    def places(self) -> str:
        """The sockets, as said."""
        return " and ".join(one.position.name for one in self.sockets)

    def conditions(self) -> list[forms.BoundField]:
        """What is said before the meter goes on."""
        return [self[name] for name in CONDITIONS]

    def volts(self) -> list[forms.BoundField]:
        """Volts that hold for all sockets."""
        names = ("plate_volts", "bias_volts", "shared_volts", "shared_ohms")
        return [self[name] for name in names if name in self.fields]

    def currents(self) -> list[forms.BoundField]:
        """The current of each socket."""
        return [self[f"ma_{n}"] for n in range(len(self.sockets))]

    def rarely(self) -> list[forms.BoundField]:
        """What is read only now and then."""
        return [self[f"{name}_{n}"] for n in range(len(self.sockets)) for name in ROW]

    @property
    def rarely_open(self) -> bool:
        """Whether any of that was typed or is wrong."""
        return self.is_bound and any(field.data or field.errors for field in self.rarely())

    # -- checks ----------------------------------------------------------------------------------
    def clean(self) -> dict[str, Any]:
        """Something must have been read; what looks odd is asked about."""
        given = super().clean()
        currents = {n: given.get(f"ma_{n}") for n in range(len(self.sockets))}
        shared = given.get("shared_volts") is not None and given.get("shared_ohms")
        if not shared and all(value is None for value in currents.values()):
            named = [f"ma_{n}" for n in currents if f"ma_{n}" not in self.errors]
            if named and len(named) == len(currents):
                self.add_error(
                    self._first_read(), "Nothing was read yet: type what the meter says."
                )
        self._ask_volts(given)
        self._ask_currents({n: v for n, v in currents.items() if v is not None}, given)
        return given

    def _first_read(self) -> str:
        return "shared_volts" if "shared_volts" in self.fields else "ma_0"

    def _ask_volts(self, given: dict[str, Any]) -> None:
        circuit = self.piece.circuit
        mains = circuit.mains_volts if circuit and circuit.mains_volts else MAINS
        asked = [("mains_volts", mains, "its mains", MAINS_FAR)]
        if circuit and circuit.plate_volts:
            asked.append(("plate_volts", circuit.plate_volts, f"what {circuit} shows", PLATE_FAR))
        for name, like, what, far in asked:
            if (volts := given.get(name)) is not None:
                self.ask(name, odd(volts, like=Decimal(like), unit="V", what=what, far=far))

    def _ask_currents(self, read: dict[int, Decimal], given: dict[str, Any]) -> None:
        names = {n: self.sockets[n].position.name for n in read}
        last, at_limit = {}, {}
        for n, name in names.items():
            before = self.last.figure(name) if self.last else None
            if before and before.read.ma and before.read.part == self.sockets[n].part:
                last[name] = Decimal(before.read.ma)
            volts = given.get(f"plate_{n}") or given.get("plate_volts")
            limit = self.limits.get(self.sockets[n].type) or published_limit(self.sockets[n].type)
            if volts and limit:
                most = target_ma(
                    plate_volts=float(volts), limit_watts=limit.watts, share_of_limit=1.0
                )
                at_limit[name] = Decimal(str(most))
        doubts = odd_currents({names[n]: v for n, v in read.items()}, last=last, at_limit=at_limit)
        for n, name in names.items():
            self.ask(f"ma_{n}", doubts.get(name))

    def write(self, **how: Any) -> Event:
        given = self.cleaned_data
        halved = given["method"] == "resistor" and given.get("shared_volts") is not None
        numbers = range(len(self.sockets))
        return actions.measure(
            code=self.piece.code,
            bias=self.bias if self.bias in queries.BIAS else "own",
            method=given["method"],
            sockets=[self._read(n, shared=halved) for n in numbers],
            mains_volts=as_text(given["mains_volts"]),
            minutes_warm=given["minutes_warm"],
            meter=given["meter"],
            bias_volts=as_text(given.get("bias_volts")),
            shared_by=max(1, len(self.sockets)) if halved else 1,
            sure=tuple(self.sockets[n].position.name for n in numbers if self.sure_of(f"ma_{n}")),
            **how,
        )

    def _read(self, n: int, *, shared: bool) -> SocketRead:
        given, socket = self.cleaned_data, self.sockets[n]
        own = {name: given.get(f"{name}_{n}") for name in ("ma", *ROW)}
        cathode = own["cathode"] if own["cathode"] is not None else given.get("shared_volts")
        ohms = given.get("shared_ohms") if shared else own["ohms"]
        plate = own["plate"] if own["plate"] is not None else given["plate_volts"]
        return SocketRead(
            position=socket.position.name,
            type=socket.type,
            part=socket.part,
            plate_volts=as_text(plate),
            cathode_volts=as_text(cathode),
            ma=as_text(own["ma"]),
            screen_ma=as_text(own["screen"]),
            resistor_ohms=as_text(ohms),
        )
