// Light on a surface with this normal, less what near wires keep away, in the metal's colours.
precision highp float;
precision highp int;
const int MATERIALS = 7;
const int TOOL = 4;
const float HORIZON = 0.2;
const float DARKEST = 0.8;
uniform sampler2D lights;
uniform vec3 scales[5 * MATERIALS];
in vec3 normal;
in vec3 shadow;
in vec3 other;
flat in int material;
out vec4 colour;

float left(vec3 shadow, vec3 n) {
  float dark = length(shadow);
  float turned = (dot(shadow, n) + HORIZON * dark) / ((1.0 + HORIZON) * max(dark, 1e-6));
  turned = max(turned, 0.0);
  return 1.0 - DARKEST * dark * turned * turned * turned;
}

void main() {
  vec3 n = normalize(normal);
  vec2 both = texture(lights, 0.5 + 0.5 * n.xy).rg;
  float light = material == TOOL ? both.g : both.r * left(shadow, n) * left(other, n);
  float at = clamp(4.0 * light, 0.0, 3.9999);
  int low = 5 * material + int(at);
  vec3 lit = mix(scales[low], scales[low + 1], fract(at));
  // So that no two neighbouring steps of a colour make a line.
  float noise = fract(52.9829189 * fract(dot(gl_FragCoord.xy, vec2(0.06711056, 0.00583715))));
  colour = vec4(lit + (noise - 0.5) / 255.0, 1);
}
