// Buildings, poles, trees and vehicles: the very triangles that the rays meet.
import { BufferAttribute, BufferGeometry, Color, Group, LineBasicMaterial, LineSegments, Mesh } from 'three';
import type { Thing } from '../answers';
import type { Solid, Street3d } from '../site';
import type { Looks } from './looks';
import { SolidLook } from './solid_look';

export class SolidsLayer {
  readonly group = new Group();
  readonly meshes: { mesh: Mesh; solid: Solid }[] = [];
  private readonly materials = new Map<Thing['kind'], SolidLook>();
  private readonly edges: LineBasicMaterial;
  private roofs: LineSegments | null = null;

  constructor(private readonly street: Street3d) {
    for (const solid of street.solids) {
      const geometry = new BufferGeometry();
      geometry.setAttribute('position', new BufferAttribute(solid.vertices, 3));
      geometry.setIndex(new BufferAttribute(solid.indices, 1));
      const leafy = solid.kind === 'crown' || solid.kind === 'canopy';
      const material = new SolidLook(leafy);
      const mesh = new Mesh(geometry, material);
      mesh.renderOrder = leafy ? 2 : 1;
      mesh.userData = { kind: solid.kind };
      this.materials.set(solid.kind, material);
      this.meshes.push({ mesh, solid });
      this.group.add(mesh);
    }
    this.edges = new LineBasicMaterial({ transparent: true, opacity: 0.75 });
  }

  private roofEdges(): BufferGeometry {
    const at: number[] = [];
    for (const { thing, rings } of this.street.scene.outlines) {
      const top = this.street.scene.things[thing]?.top_m ?? 0;
      for (const ring of rings)
        for (let i = 0; i + 1 < ring.length; i++) at.push(ring[i]![0], ring[i]![1], top, ring[i + 1]![0], ring[i + 1]![1], top);
    }
    const geometry = new BufferGeometry();
    geometry.setAttribute('position', new BufferAttribute(new Float32Array(at), 3));
    return geometry;
  }

  paint(looks: Looks): void {
    const colours: Partial<Record<Thing['kind'], string>> = {
      building: looks.roof, pole: looks.pole, trunk: looks.trunk, crown: looks.crown, canopy: looks.crown,
      vehicle: looks.vehicle, object: looks.object,
    };
    for (const [kind, material] of this.materials) material.paint(colours[kind] ?? looks.object);
    this.edges.color = new Color(looks.edge);
  }

  /** From above, leaves that would hide the street are thinner, and roofs' edges are drawn by the pen. */
  seenFromAbove(above: boolean): void {
    if (!above && !this.roofs) {
      this.roofs = new LineSegments(this.roofEdges(), this.edges);
      this.group.add(this.roofs);
    }
    if (this.roofs) this.roofs.visible = !above;
    for (const kind of ['crown', 'canopy'] as const) {
      this.materials.get(kind)?.thin(above ? 0.55 : 0.78);
    }
  }

  dispose(): void {
    for (const { mesh } of this.meshes) mesh.geometry.dispose();
    for (const material of this.materials.values()) material.dispose();
    this.edges.dispose();
    this.roofs?.geometry.dispose();
  }
}
