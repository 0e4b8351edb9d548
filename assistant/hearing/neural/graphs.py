"""The model's files as graphs for the runtime: their weights stay quantised on the disk, not at each step.

The package brings its model in the runtime's own closed format, in which the runtime makes every
weight a float anew in each run (0.1 s for one word). In the open format it does so once, on loading.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import onnx
from onnx import helper, numpy_helper
from onnxruntime.tools.ort_format_model.ort_flatbuffers_py.fbs.AttributeType import AttributeType
from onnxruntime.tools.ort_format_model.ort_flatbuffers_py.fbs.InferenceSession import (
    InferenceSession,
)

ENCODER, DECODER = "encoder_model.ort", "decoder_model_merged.ort"
HEARD = "encoder_hidden_states"
"""What the decoder calls the output of the encoder."""
FORMAT = 8
"""Version of the open format that is written."""
_FLOAT, _INT64 = onnx.TensorProto.FLOAT, onnx.TensorProto.INT64


def graphs(folder: Path) -> tuple[bytes, bytes]:
    """The two graphs that reading needs: of the sound, and of a piece of word after others."""
    decoder = _root(folder / DECODER)
    return _sound_graph(_root(folder / ENCODER), decoder), _word_graph(decoder)


def _sound_graph(encoder: Any, decoder: Any) -> bytes:
    """Sound to what each layer of the decoder looks at: the encoder, and the decoder's first look.

    Input 'hears/input_values' [1, samples], float, -1 to 1; outputs the keys and values of each layer
    by turns, [1, times, all heads].
    """
    graph = encoder.Graph()
    heard = graph.Outputs(0).decode()
    nodes, weights = _renamed(_nodes(graph), _weights(graph), "hears/", {heard: HEARD})
    branch = _branch(decoder, "else_branch")
    made = {name for node in branch.nodes for name in node.output}
    outputs = [
        name
        for layer in range(len(branch.outputs))
        for part in ("k", "v")
        if (name := f"/model/decoder/layers.{layer}/encoder_attn/{part}_proj/MatMul_output_0")
        in made
    ]
    used, needed = _reached([*nodes, *branch.nodes], weights | branch.weights, outputs)
    given = helper.make_tensor_value_info("hears/input_values", _FLOAT, [1, None])
    return _model(used, needed, [given], outputs, decoder)


def _word_graph(decoder: Any) -> bytes:
    """A word piece, after others, to the next one's scores.

    Inputs 'input_ids' [rows, 1], 'past_key_values.N.encoder.*' [1, ...] of the sound and
    'past_key_values.N.decoder.*' [rows, ...] of the pieces before; outputs 'logits' and 'present.N.decoder.*'.
    """
    branch = _branch(decoder, "then_branch")
    outputs = [name for name in branch.outputs if ".encoder." not in name]
    used, needed = _reached(branch.nodes, branch.weights, outputs)
    made = {name for node in used for name in node.output} | {each.name for each in needed}
    free = dict.fromkeys(name for node in used for name in node.input if name and name not in made)
    given = [
        helper.make_tensor_value_info("input_ids", _INT64, [None, 1])
        if name == "input_ids"
        else helper.make_tensor_value_info(name, _FLOAT, [None] * 4)
        for name in free
    ]
    return _model(used, needed, given, outputs, decoder)


class _Branch:
    """One side of the decoder's 'If', with what stands around it."""

    def __init__(self, nodes: list[Any], weights: dict[str, Any], outputs: list[str]) -> None:
        self.nodes, self.weights, self.outputs = nodes, weights, outputs


def _root(file: Path) -> Any:
    return InferenceSession.GetRootAsInferenceSession(file.read_bytes(), 0).Model()


def _branch(decoder: Any, name: str) -> _Branch:
    graph = decoder.Graph()
    choice = next(node for node in _each(graph, "Nodes") if node.OpType() == b"If")
    side = next(each.G() for each in _each(choice, "Attributes") if each.Name().decode() == name)
    outputs = [each.decode() for each in _each(side, "Outputs")]
    return _Branch([*_nodes(graph), *_nodes(side)], _weights(graph) | _weights(side), outputs)


def _each(owner: Any, name: str) -> Iterator[Any]:
    for place in range(getattr(owner, f"{name}Length")()):
        yield getattr(owner, name)(place)


def _nodes(graph: Any) -> list[Any]:
    """Every node but those that hold graphs themselves."""
    return [
        helper.make_node(
            node.OpType().decode(),
            [each.decode() for each in _each(node, "Inputs")],
            [each.decode() for each in _each(node, "Outputs")],
            domain=(node.Domain() or b"").decode(),
            **{each.Name().decode(): _value(each) for each in _each(node, "Attributes")},
        )
        for node in _each(graph, "Nodes")
        if node.OpType() != b"If"
    ]


def _value(attribute: Any) -> Any:
    kind = attribute.Type()
    if kind == AttributeType.FLOAT:
        return attribute.F()
    if kind == AttributeType.INT:
        return attribute.I()
    if kind == AttributeType.STRING:
        return attribute.S().decode()
    if kind == AttributeType.TENSOR:
        return _tensor(attribute.T(), "")
    if kind == AttributeType.FLOATS:
        return list(_each(attribute, "Floats"))
    if kind == AttributeType.INTS:
        return list(_each(attribute, "Ints"))
    raise ValueError(f"an attribute of type {kind} is not known")


def _weights(graph: Any) -> dict[str, Any]:
    """Name -> tensor as it stands in the file: most are not needed, and to copy them takes long."""
    return {each.Name().decode(): each for each in _each(graph, "Initializers")}


def _tensor(tensor: Any, name: str) -> Any:
    kind = helper.tensor_dtype_to_np_dtype(tensor.DataType())
    raw = tensor.RawDataAsNumpy()
    values = np.zeros(0, kind) if isinstance(raw, int) else raw.view(kind)
    return numpy_helper.from_array(values.reshape(list(_each(tensor, "Dims"))), name)


def _renamed(
    nodes: list[Any], weights: dict[str, Any], prefix: str, other: dict[str, str]
) -> tuple[list[Any], dict[str, Any]]:
    """Two graphs made one must not share names: all but those of `other` get `prefix`."""

    def new(name: str) -> str:
        return other.get(name, prefix + name) if name else name

    for node in nodes:
        node.input[:] = [new(name) for name in node.input]
        node.output[:] = [new(name) for name in node.output]
    return nodes, {new(name): each for name, each in weights.items()}


def _reached(
    nodes: Sequence[Any], weights: Mapping[str, Any], outputs: Iterable[str]
) -> tuple[list[Any], list[Any]]:
    """The nodes and weights that `outputs` need; nodes stand in the order of their work."""
    needed, used = set(outputs), []
    for node in reversed(nodes):
        if needed.intersection(node.output):
            used.append(node)
            needed.update(node.input)
    return used[::-1], [_tensor(each, name) for name, each in weights.items() if name in needed]


def _model(
    nodes: list[Any], weights: list[Any], given: list[Any], outputs: Iterable[str], source: Any
) -> bytes:
    results = [helper.make_tensor_value_info(name, _FLOAT, None) for name in outputs]
    versions = [
        helper.make_opsetid((each.Domain() or b"").decode(), each.Version())
        for each in _each(source, "OpsetImport")
    ]
    model = helper.make_model(
        helper.make_graph(nodes, "part", given, results, weights), opset_imports=versions
    )
    model.ir_version = FORMAT
    return bytes(model.SerializeToString())
