// The hanging lift in space, drawn from a scene document: turnable by mouse, touch, keys and buttons.
// Loaded only when somebody opens the view (open3d.js). It says no word of its own: all text comes with the
// page or the scene. Slack is told by dashes, protection by a sign: never by colour alone.

import {
  BufferGeometry,
  CanvasTexture,
  Color,
  CylinderGeometry,
  DoubleSide,
  Float32BufferAttribute,
  Group,
  LineBasicMaterial,
  LineSegments,
  Matrix4,
  Mesh,
  MeshBasicMaterial,
  OctahedronGeometry,
  OrthographicCamera,
  Quaternion,
  Scene,
  SphereGeometry,
  Sprite,
  SpriteMaterial,
  TorusGeometry,
  Vector3,
  WebGLRenderer,
} from "./vendor/three/three.module.min.js";

const INK = "#1c2126"; // the sheet's ink, paper and sling
const SLING = "#123a63";
const PAPER = "#ffffff";
const SHADES = { load: ["#f4f2ee", "#e6e3dd", "#d7d3cb"], beam: ["#e2e5e8", "#d0d5da", "#bfc5cc"] };
const TURN_DEG = 10;
const START = [-32, 18]; // yaw and pitch: from the front's left, a little from above
const VIEWS = { elevation: [0, 0], end: [90, 0], plan: [0, 90], start: START };
const DASH = 0.035; // dash and gap together, as a share of the scene's size
const UP = new Vector3(0, 0, 1);

const vector = (p) => new Vector3(p[0], p[1], p[2]);
const radians = (degrees) => (degrees * Math.PI) / 180;
const degrees = (value) => (value * 180) / Math.PI;

/** Open the view in its host element: fetches the scene, draws it, listens. */
export async function openView3d(host) {
  const answer = await fetch(host.dataset.sceneUrl, { headers: { Accept: "application/json" } });
  if (!answer.ok) throw new Error(`scene: ${answer.status}`);
  const scene = await answer.json();
  const stage = host.querySelector("[data-view3d-stage]");
  stage.hidden = false;
  const view = new View(stage, scene); // before the buttons show: without WebGL it throws, and none would work
  host.querySelector("[data-view3d-controls]").hidden = false;
  listen(host, stage, view);
  view.fit();
}

class View {
  constructor(stage, scene) {
    this.stage = stage;
    this.document = scene;
    this.renderer = new WebGLRenderer({ antialias: true });
    this.renderer.setPixelRatio(Math.min(window.devicePixelRatio || 1, 2));
    this.renderer.setClearColor(new Color(PAPER));
    this.renderer.domElement.setAttribute("aria-hidden", "true");
    this.labels = document.createElement("div");
    this.labels.className = "view3d-labels";
    this.labels.setAttribute("aria-hidden", "true"); // the table beside the view says the same
    stage.append(this.renderer.domElement, this.labels);
    this.world = new Scene();
    this.camera = new OrthographicCamera();
    [this.yaw, this.pitch] = START;
    this.zoom = 1;
    this.build();
    new ResizeObserver(() => this.fit()).observe(stage);
  }

  build() {
    const found = this.document;
    const points = allPoints(found);
    this.middle = middleOf(points);
    this.size = Math.max(...points.map((p) => p.distanceTo(this.middle)), 0.1);
    const thick = this.size * 0.0075;
    this.load = body(found.load, SHADES.load);
    this.world.add(this.load);
    if (found.beam) this.world.add(body(found.beam, SHADES.beam));
    for (const band of found.bands) this.world.add(flat(band.corners_m, SLING));
    for (const leg of found.legs) this.world.add(legMesh(leg, thick, this.size));
    for (const hook of found.hooks) this.world.add(hookMesh(vector(hook.at_m), this.size));
    for (const pick of found.picks) this.world.add(ball(vector(pick.at_m), thick * 1.7));
    for (const mark of found.protected) this.world.add(protection(vector(mark.at_m), thick));
    if (found.centre_box_m.length) this.world.add(dashedBox(found.centre_box_m, this.size));
    this.world.add(centreMark(vector(found.centre_m), this.size * 0.055));
    this.tags = found.legs.map((leg) => this.tag(leg));
    this.world.updateMatrixWorld(true);
    // read off what is drawn, not copied from the document: a test compares it with the flat drawing
    const up = new Vector3(0, 0, 1).transformDirection(this.load.matrixWorld);
    this.stage.dataset.tiltDeg = degrees(up.angleTo(UP)).toFixed(4);
  }

  tag(leg) {
    const element = document.createElement("span");
    element.textContent = leg.label;
    element.className = leg.slack ? "view3d-label view3d-slack" : "view3d-label";
    this.labels.append(element);
    return { element, at: vector(leg.upper_m).lerp(vector(leg.lower_m), 0.55) };
  }

  turn(byYaw, byPitch) {
    this.look(this.yaw + byYaw, this.pitch + byPitch);
  }

  look(yaw, pitch) {
    this.yaw = ((((yaw + 180) % 360) + 360) % 360) - 180;
    this.pitch = Math.max(-90, Math.min(90, pitch));
    this.request();
  }

  closer(factor) {
    this.zoom = Math.max(0.5, Math.min(8, this.zoom * factor));
    this.request();
  }

  fit() {
    const { clientWidth: wide, clientHeight: high } = this.stage;
    if (!wide || !high) return;
    Object.assign(this, { wide, high });
    this.renderer.setSize(wide, high);
    this.request();
  }

  request() {
    if (this.waiting) return;
    this.waiting = true;
    requestAnimationFrame(() => {
      this.waiting = false;
      this.draw();
    });
  }

  draw() {
    const { camera, middle, size, wide, high } = this;
    const half = (size * 1.12) / this.zoom;
    const across = wide < high ? half : (half * wide) / high;
    const up = wide < high ? (half * high) / wide : half;
    Object.assign(camera, { left: -across, right: across, top: up, bottom: -up, near: 0.01, far: size * 8 });
    const [a, b] = [radians(this.yaw), radians(this.pitch)];
    const eye = new Vector3(Math.sin(a) * Math.cos(b), -Math.cos(a) * Math.cos(b), Math.sin(b));
    camera.up.set(-Math.sin(a) * Math.sin(b), Math.cos(a) * Math.sin(b), Math.cos(b));
    camera.position.copy(middle).addScaledVector(eye, size * 4);
    camera.lookAt(middle);
    camera.updateProjectionMatrix();
    camera.updateMatrixWorld(true);
    this.renderer.render(this.world, camera);
    this.placeLabels();
    this.tell();
  }

  /** What is shown, for tests and for whoever scripts the page; `lean` is down to the right on the screen. */
  tell() {
    const data = this.stage.dataset;
    const [from, to] = [[0, 0, 0], [1, 0, 0]].map((p) =>
      this.onScreen(vector(p).applyMatrix4(this.load.matrixWorld)),
    );
    data.leanDeg = degrees(Math.atan2(to.y - from.y, to.x - from.x)).toFixed(4);
    data.yawDeg = this.yaw.toFixed(2);
    data.pitchDeg = this.pitch.toFixed(2);
    data.zoom = this.zoom.toFixed(3);
    data.ready = "yes";
  }

  onScreen(point) {
    const p = point.clone().project(this.camera);
    return { x: ((p.x + 1) * this.wide) / 2, y: ((1 - p.y) * this.high) / 2 };
  }

  /** Each label at its leg, pushed down past those it would lie on, kept inside the stage. */
  placeLabels() {
    const placed = [];
    const spots = this.tags.map((tag) => ({ tag, ...this.onScreen(tag.at) }));
    for (const spot of spots.sort((p, q) => p.y - q.y)) {
      const { offsetWidth: wide, offsetHeight: high } = spot.tag.element;
      const x = Math.max(2, Math.min(this.wide - wide - 2, spot.x - wide / 2));
      let y = Math.max(2, spot.y - high / 2);
      for (const other of placed) {
        const beside = x + wide < other.x || other.x + other.wide < x;
        if (!beside && y < other.y + other.high + 1 && other.y < y + high + 1) y = other.y + other.high + 1;
      }
      y = Math.min(y, this.high - high - 2);
      placed.push({ x, y, wide, high });
      spot.tag.element.style.transform = `translate(${x.toFixed(1)}px, ${y.toFixed(1)}px)`;
    }
  }
}

// ---- what is drawn -------------------------------------------------------------------------------------

function allPoints(found) {
  const points = found.legs.flatMap((leg) => [vector(leg.upper_m), vector(leg.lower_m)]);
  for (const solid of [found.load, found.beam].filter(Boolean)) {
    const matrix = pose(solid.pose);
    for (const face of solid.faces) points.push(...face.corners_m.map((p) => vector(p).applyMatrix4(matrix)));
  }
  return points;
}

function middleOf(points) {
  const low = points.reduce((a, p) => a.min(p), points[0].clone());
  const high = points.reduce((a, p) => a.max(p), points[0].clone());
  return low.add(high).multiplyScalar(0.5);
}

function pose({ origin_m: o, rotation: r }) {
  const rows = r.flatMap((row, i) => [...row, o[i]]);
  return new Matrix4().set(...rows, 0, 0, 0, 1);
}

/** A body in its own coordinates, put where it hangs by its pose alone. */
function body(solid, shades) {
  const group = new Group();
  group.matrixAutoUpdate = false;
  group.matrix.copy(pose(solid.pose));
  for (const face of solid.faces) group.add(flat(face.corners_m, shades[shadeOf(face.corners_m)]));
  const edges = solid.faces.filter((face) => face.ruled).flatMap((face) => ring(face.corners_m));
  group.add(new LineSegments(lineGeometry(edges), new LineBasicMaterial({ color: INK })));
  return group;
}

/** Which of three greys: faces that look up, along and across the load; no lamp, so it prints the same. */
function shadeOf(corners) {
  const [a, b, c] = corners.map(vector);
  const n = b.sub(a).cross(c.sub(a)).normalize();
  if (Math.abs(n.z) > 0.7) return 0;
  return Math.abs(n.y) > 0.7 ? 1 : 2;
}

function flat(corners, color) {
  const triangles = corners.slice(2).flatMap((corner, i) => [...corners[0], ...corners[i + 1], ...corner]);
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new Float32BufferAttribute(triangles, 3));
  const nearer = color === SLING ? -1 : 1; // edges and webbing lie on the face and must win over it
  const offset = { polygonOffset: true, polygonOffsetFactor: nearer, polygonOffsetUnits: nearer };
  return new Mesh(geometry, new MeshBasicMaterial({ color, side: DoubleSide, ...offset }));
}

function ring(corners) {
  return corners.flatMap((corner, i) => [corner, corners[(i + 1) % corners.length]]);
}

function lineGeometry(points) {
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new Float32BufferAttribute(points.flat(), 3));
  return geometry;
}

/** The dashes between two points, `count` of them, each as its two ends. */
function dashes(a, b, count) {
  return Array.from({ length: count }, (_, i) => [i, i + 0.5].map((t) => a.clone().lerp(b, t / count)));
}

/** A tight part is one solid rod; a slack one is a row of dashes, thinner. */
function legMesh(leg, thick, size) {
  const [a, b] = [vector(leg.upper_m), vector(leg.lower_m)];
  if (!leg.slack) return rod(a, b, thick, SLING);
  const group = new Group();
  const count = Math.max(2, Math.round(a.distanceTo(b) / (size * DASH * 2)));
  for (const [from, to] of dashes(a, b, count)) group.add(rod(from, to, thick * 0.55, SLING));
  return group;
}

function rod(a, b, radius, color) {
  const along = b.clone().sub(a);
  const shape = new CylinderGeometry(radius, radius, along.length(), 10);
  const mesh = new Mesh(shape, new MeshBasicMaterial({ color }));
  mesh.position.copy(a).addScaledVector(along, 0.5);
  mesh.quaternion.copy(new Quaternion().setFromUnitVectors(new Vector3(0, 1, 0), along.normalize()));
  return mesh;
}

function ball(at, radius) {
  const mesh = new Mesh(new SphereGeometry(radius, 16, 12), new MeshBasicMaterial({ color: INK }));
  mesh.position.copy(at);
  return mesh;
}

/** The bowl of a hook whose inside lowest point is the bearing point. */
function hookMesh(at, size) {
  const group = new Group();
  const [radius, tube] = [size * 0.035, size * 0.011];
  const shape = new TorusGeometry(radius, tube, 10, 24, Math.PI * 1.45);
  const bowl = new Mesh(shape, new MeshBasicMaterial({ color: INK }));
  bowl.rotation.set(Math.PI / 2, 0, 0);
  bowl.rotateZ(-Math.PI * 1.12);
  bowl.position.copy(at).addScaledVector(UP, radius - tube);
  const top = at.clone().addScaledVector(UP, radius * 2);
  group.add(bowl, rod(top, top.clone().addScaledVector(UP, size * 0.07), size * 0.013, INK));
  return group;
}

/** Something lies between sling and edge: the sheet's solid square on its corner, in space. */
function protection(at, thick) {
  const mesh = new Mesh(new OctahedronGeometry(thick * 3.4), new MeshBasicMaterial({ color: INK }));
  mesh.position.copy(at);
  return mesh;
}

/** The centre of gravity as on the sheet, a ring quartered black and white; it shows through the load. */
function centreMark(at, size) {
  const canvas = document.createElement("canvas");
  canvas.width = canvas.height = 64;
  const pen = canvas.getContext("2d");
  const quarter = (from, color) => {
    pen.fillStyle = color;
    pen.beginPath();
    pen.moveTo(32, 32);
    pen.arc(32, 32, 28, (from * Math.PI) / 2, ((from + 1) * Math.PI) / 2);
    pen.fill();
  };
  [PAPER, INK, PAPER, INK].forEach((color, i) => quarter(i, color));
  pen.lineWidth = 4;
  pen.strokeStyle = INK;
  pen.beginPath();
  pen.arc(32, 32, 28, 0, 2 * Math.PI);
  pen.stroke();
  const sprite = new Sprite(new SpriteMaterial({ map: new CanvasTexture(canvas), depthTest: false }));
  sprite.scale.set(size, size, 1);
  sprite.position.copy(at);
  sprite.renderOrder = 2;
  return sprite;
}

/** Where an unknown centre may lie: a box of dashes that shows through the load. */
function dashedBox(corners, size) {
  const points = corners.map(vector); // x slowest, z fastest: neighbours differ in one bit of their number
  const edges = points.flatMap((p, i) => [1, 2, 4].filter((bit) => !(i & bit)).map((bit) => [p, points[i | bit]]));
  const drawn = edges.flatMap(([a, b]) => dashes(a, b, Math.max(2, Math.round(a.distanceTo(b) / (size * DASH)))));
  const material = new LineBasicMaterial({ color: INK, depthTest: false, transparent: true });
  const lines = new LineSegments(lineGeometry(drawn.flat().map((p) => p.toArray())), material);
  lines.renderOrder = 1;
  return lines;
}

// ---- hands ---------------------------------------------------------------------------------------------

const KEYS = {
  ArrowLeft: "left", ArrowRight: "right", ArrowUp: "up", ArrowDown: "down",
  "+": "closer", "=": "closer", "-": "farther", Home: "start",
};
const TURNS = { left: [-TURN_DEG, 0], right: [TURN_DEG, 0], up: [0, TURN_DEG], down: [0, -TURN_DEG] };

function listen(host, stage, view) {
  for (const button of host.querySelectorAll("[data-view3d-do]"))
    button.addEventListener("click", () => act(view, button.dataset.view3dDo));
  stage.addEventListener("keydown", (event) => {
    const deed = KEYS[event.key];
    if (!deed || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    act(view, deed);
  });
  const wheel = (event) => {
    if (!event.ctrlKey && document.activeElement !== stage) return; // the page scrolls until the view is chosen
    event.preventDefault();
    view.closer(event.deltaY < 0 ? 1.1 : 1 / 1.1);
  };
  stage.addEventListener("wheel", wheel, { passive: false });
  listenToPointers(stage, view);
}

function act(view, deed) {
  if (TURNS[deed]) view.turn(...TURNS[deed]);
  else if (VIEWS[deed]) view.look(...VIEWS[deed]);
  else view.closer(deed === "closer" ? 1.25 : 1 / 1.25);
}

/** One pointer turns; two bring closer. The style leaves an upward stroke of a finger to the page. */
function listenToPointers(stage, view) {
  const held = new Map();
  const apart = () => {
    const [a, b] = [...held.values()];
    return Math.hypot(a.x - b.x, a.y - b.y) || 1;
  };
  stage.addEventListener("pointerdown", (event) => {
    held.set(event.pointerId, { x: event.clientX, y: event.clientY });
    stage.setPointerCapture(event.pointerId);
  });
  stage.addEventListener("pointermove", (event) => {
    const last = held.get(event.pointerId);
    if (!last) return;
    const before = held.size === 2 ? apart() : 0;
    held.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (held.size === 2) view.closer(apart() / before);
    else view.turn((last.x - event.clientX) * 0.5, (event.clientY - last.y) * 0.5);
  });
  for (const end of ["pointerup", "pointercancel", "lostpointercapture"])
    stage.addEventListener(end, (event) => held.delete(event.pointerId));
}
