// A length of round wire between two rings: an instance each, its corners by number.
layout(location = 0) in vec4 place_from;
layout(location = 1) in vec4 tangent_from;
layout(location = 2) in vec3 normal_from;
layout(location = 3) in vec3 shadow_from;
layout(location = 4) in vec3 other_from;
layout(location = 5) in vec4 place_to;
layout(location = 6) in vec4 tangent_to;
layout(location = 7) in vec3 normal_to;
layout(location = 8) in vec3 shadow_to;
layout(location = 9) in vec3 other_to;
const int RIM = 6;
// Of a thin wire no more than this share of its radius.
const float THIN = 0.35;
uniform vec3 reach;
// Drawn so much thicker and dark, mm: what of it lies behind the wire is its edge.
uniform float grown;
uniform float sides;
out vec3 normal;
out vec3 shadow;
out vec3 other;
flat out int material;

void main() {
  bool is_to = (gl_VertexID & 1) == 1;
  float turn = 6.283185307 * float(gl_VertexID >> 1) / sides;
  vec4 place = is_to ? place_to : place_from;
  vec3 tangent = is_to ? tangent_to.xyz : tangent_from.xyz;
  vec3 first = is_to ? normal_to : normal_from;
  normal = cos(turn) * first + sin(turn) * cross(tangent, first);
  shadow = is_to ? shadow_to : shadow_from;
  other = is_to ? other_to : other_from;
  vec3 at = place.xyz + place.w * normal;
  material = int(tangent_from.w);
  // The last ring of a wire has no next; a tool's edge has none itself.
  bool is_none = material < 0 || grown > 0.0 && material == RIM;
  if (grown > 0.0) {
    at.xy += min(grown, THIN * place.w) * normal.xy / max(length(normal.xy), 1e-3);
    material = RIM;
  }
  gl_Position = is_none ? vec4(2, 2, 2, 1) : vec4(at * reach, 1);
}
